//! `claimgauge cite`.

use super::{CLEAN, LookOptions, RuleOptions, TROUBLE, complain, print};
use crate::rulebook::show;
use clap::Args;
use std::io;

/// Options of `cite`.
#[derive(Debug, Args)]
pub struct Options {
    /// Id of the rule, for example unequal-gauge
    #[arg(value_name = "RULE")]
    rule: String,
    #[command(flatten)]
    rules: RuleOptions,
    #[command(flatten)]
    look: LookOptions,
}

/// Runs the command.
///
/// # Errors
/// When standard output cannot be written.
pub fn run(options: &Options) -> io::Result<u8> {
    let Some(book) = options.rules.rulebook() else {
        return Ok(TROUBLE);
    };
    let width = options.look.look(true, false).width;
    if let Some(text) = show::cite(&book, &options.rule, width) {
        print(&text)?;
        return Ok(CLEAN);
    }
    let near = show::similar(&book, &options.rule);
    let hint = if near.is_empty() {
        "“claimgauge rulebook” lists them".to_owned()
    } else {
        format!("did you mean {}?", near.join(" or "))
    };
    complain(&format!("there is no rule “{}”; {hint}", options.rule));
    Ok(TROUBLE)
}
