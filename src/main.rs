//! The program: everything it does is in the library.

fn main() -> std::process::ExitCode {
    plica::commands::run(std::env::args_os())
}
