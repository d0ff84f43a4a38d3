//! The castlot program: hands over to the library and leaves with its exit code.

fn main() -> std::process::ExitCode {
    castlot::cli::main()
}
