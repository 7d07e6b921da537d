//! Findings to text, JSON, SARIF, Markdown and HTML. Knows nothing of how they were found.
//!
//! [`view`] works out lines, columns, quotations, groups and totals once; a renderer only writes. Width, colour and sign
//! set are parameters.

mod chart;
pub mod escape;
mod excerpt;
mod html;
pub mod json;
mod markdown;
pub mod number;
pub mod plot;
pub mod reading;
mod sarif;
pub mod text;
pub mod understood;
pub mod view;

pub use view::{Counts, View};

use crate::rulebook::Rulebook;
use std::io;

/// How a report for people is to look.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// Columns of the terminal.
    pub width: usize,
    /// Lines that may be filled before the summary; none for no limit.
    pub screen: Option<usize>,
    /// Whether colour may be used.
    pub colour: bool,
    /// Whether signs outside ASCII may be used.
    pub unicode: bool,
    /// Lines of words alone, without drawn signs, for screen readers.
    pub plain: bool,
}

impl Default for Look {
    fn default() -> Self {
        Self {
            width: 80,
            screen: Some(40),
            colour: false,
            unicode: true,
            plain: false,
        }
    }
}

/// What a renderer may know beside the documents.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a> {
    /// How it is to look.
    pub look: Look,
    /// The rules that were used.
    pub rulebook: &'a Rulebook,
}

/// What is known when all documents are done.
#[derive(Debug, Clone, Default)]
pub struct Ending {
    /// Totals.
    pub counts: Counts,
    /// Accepted findings that fit nothing any more, and the like: one line each.
    pub notices: Vec<String>,
    /// Files that could not be read: one line each.
    pub troubles: Vec<String>,
}

/// One format. Everything that it writes goes through these three, in this order.
///
/// ```
/// use claimgauge::report::{Format, Look, Scene, View};
/// use claimgauge::{input::Source, rulebook::Rulebook, run::{Auditor, Limits}};
///
/// let rules = Rulebook::builtin();
/// let source = Source::decode("card.txt", b"Conductor: 14 AWG copper")?;
/// let audit = Auditor::new(&rules, Limits::default()).audit(&source);
/// let view = View::new(&source, &audit, &rules);
/// let scene = Scene { look: Look::default(), rulebook: &rules };
/// let note = Format::Markdown.renderer().document(&view, &scene, 0);
/// assert!(note.starts_with("# Fact check: card.txt"));
/// # Ok::<(), claimgauge::input::Refusal>(())
/// ```
pub trait Renderer: Sync {
    /// Whether [`Renderer::head`] needs the totals: the documents are then held back until all are done.
    fn totals_first(&self) -> bool {
        false
    }

    /// What comes before the first document; `ending` is empty unless [`Renderer::totals_first`].
    fn head(&self, _scene: &Scene<'_>, _ending: &Ending) -> String {
        String::new()
    }

    /// What stands between two documents.
    fn joint(&self) -> &'static str {
        ""
    }

    /// One document, or nothing when the format has nothing to say of it; `number` is its own among all that were given.
    fn document(&self, view: &View<'_>, scene: &Scene<'_>, number: usize) -> String;

    /// The same written piece by piece, for formats whose reports of one document may be far longer than it.
    ///
    /// # Errors
    /// Those of `to`.
    fn write(
        &self,
        view: &View<'_>,
        scene: &Scene<'_>,
        number: usize,
        to: &mut dyn io::Write,
    ) -> io::Result<()> {
        to.write_all(self.document(view, scene, number).as_bytes())
    }

    /// What comes after the last document.
    fn tail(&self, _scene: &Scene<'_>, _ending: &Ending) -> String {
        String::new()
    }
}

macro_rules! formats {
    ($($(#[$doc:meta])* $name:ident $word:literal => $renderer:expr;)*) => {
        /// A format of reports.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Format {
            $($(#[$doc])* $name,)*
        }

        impl Format {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$name),*];

            /// The word used on the command line.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self {
                    $(Self::$name => $word,)*
                }
            }

            /// What writes it.
            #[must_use]
            pub fn renderer(self) -> &'static dyn Renderer {
                match self {
                    $(Self::$name => &$renderer,)*
                }
            }
        }
    };
}

formats! {
    /// Diagnostics for a terminal.
    Text "text" => text::Text;
    /// One JSON object for all documents.
    Json "json" => json::Json;
    /// One JSON object a line and document.
    Ndjson "ndjson" => json::Ndjson;
    /// SARIF 2.1.0.
    Sarif "sarif" => sarif::Sarif;
    /// A note to paste into a review.
    Markdown "markdown" => markdown::Markdown;
    /// One self-contained page.
    Html "html" => html::Html;
}
