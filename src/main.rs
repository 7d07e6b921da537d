//! The `claimgauge` program: parses arguments, calls the library, exits.

fn main() -> std::process::ExitCode {
    claimgauge::cli::main(std::env::args_os())
}
