//! Hostile input for every reader, and random input for the mathematics.

#[test]
fn skeleton() {
    assert!(fieldstop_gui::files::demo_kit(&|_| true).is_ok());
}
