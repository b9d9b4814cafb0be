//! The reasons in sentences, with the figures that they rest on.

use fieldstop::choice::Choice;
use fieldstop::findings::FigureValue;

use super::{Cell, Column, column, count};

pub(super) fn columns() -> Vec<Column> {
    vec![
        column("finding", "", "number of the sentence, the most telling first"),
        column("text", "", "sentence"),
        column("figure", "", "key of a figure that it rests on; its last word names the unit"),
        column("number", "", "figure, where it is a number"),
        column("word", "", "figure, where it is a word"),
    ]
}

pub(super) fn rows(choice: &Choice) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    for (index, finding) in choice.findings.iter().enumerate() {
        let said = || vec![count(index + 1), finding.text.as_str().into()];
        if finding.figures.is_empty() {
            let mut row = said();
            row.extend([Cell::Empty, Cell::Empty, Cell::Empty]);
            rows.push(row);
        }
        for (key, value) in &finding.figures {
            let (number, word) = match value {
                FigureValue::Number(number) => ((*number).into(), Cell::Empty),
                FigureValue::Word(word) => (Cell::Empty, word.as_str().into()),
            };
            let mut row = said();
            row.extend([key.as_str().into(), number, word]);
            rows.push(row);
        }
    }
    rows
}
