//! The castlot program: hands over to the library and leaves with its exit code.

/// Reading a long diary makes many small pieces on two threads, which the system's allocator is slow at.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    castlot::cli::main()
}
