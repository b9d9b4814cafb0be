//! Columns of text under their headings, for people.

/// Which side of a column its entries touch.
#[derive(Clone, Copy, Debug)]
pub(super) enum Side {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// Lines of a table: a heading, then the rows, each column as wide as its widest entry.
pub(super) fn lines(headings: &[(&str, Side)], rows: &[Vec<String>]) -> String {
    let width = |column: usize, heading: &str| {
        let entries = rows.iter().filter_map(|row| row.get(column));
        entries.map(|entry| entry.chars().count()).fold(heading.chars().count(), usize::max)
    };
    let widths: Vec<usize> =
        headings.iter().enumerate().map(|(column, (heading, _))| width(column, heading)).collect();
    let line = |entries: &mut dyn Iterator<Item = &str>| {
        let cells =
            entries.zip(headings).zip(&widths).map(|((entry, (_, side)), width)| match side {
                Side::Left => format!("{entry:<width$}"),
                Side::Right => format!("{entry:>width$}"),
            });
        cells.collect::<Vec<_>>().join("  ").trim_end().to_owned() + "\n"
    };
    let mut text = line(&mut headings.iter().map(|(heading, _)| *heading));
    for row in rows {
        text += &line(&mut row.iter().map(String::as_str));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::{Side, lines};

    #[test]
    fn columns_are_as_wide_as_their_widest_entry() {
        let rows =
            [vec!["a".to_owned(), "1.5°".to_owned()], vec!["long".to_owned(), "10.0°".to_owned()]];
        let text = lines(&[("rig", Side::Left), ("width", Side::Right)], &rows);
        assert_eq!(text, "rig   width\na      1.5°\nlong  10.0°\n");
    }
}
