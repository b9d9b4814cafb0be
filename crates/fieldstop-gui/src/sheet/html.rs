//! A sheet as one page of HTML: real headings and tables, pictures within it, nothing from outside.

pub(super) fn page(_facts: &super::Facts, _sky: &crate::sky::Sky) -> String {
    String::new()
}
