//! Speed of judgement.
fn main() {
    divan::main();
}
