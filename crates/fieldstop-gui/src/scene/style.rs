//! How each rig's lines look: colour and dash together, so that neither is needed alone.

use super::primitive::{DashPattern, Ink};

/// A rig's colour and dash.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RigStyle {
    /// On a dark sky. On white, and in the red theme, ask the palette.
    pub colour: Ink,
    /// Marks and gaps.
    pub dash: DashPattern,
}

/// The colour-blind-safe set.
///
/// Its black is drawn white on a dark sky. The order puts the colours first that differ most.
///
/// # Source
/// Okabe & Ito 2008, "Color Universal Design".
const OKABE_ITO: [Ink; 8] = [
    Ink::rgb(230, 159, 0),   // orange
    Ink::rgb(86, 180, 233),  // sky blue
    Ink::rgb(0, 158, 115),   // bluish green
    Ink::rgb(240, 228, 66),  // yellow
    Ink::rgb(204, 121, 167), // reddish purple
    Ink::rgb(213, 94, 0),    // vermillion
    Ink::rgb(0, 114, 178),   // blue
    Ink::rgb(0, 0, 0),       // black
];

/// Marks and gaps in points. Each has a rhythm of its own, not just another scale.
const DASHES: [DashPattern; 8] = [
    &[],
    &[12.0, 5.0],
    &[4.0, 4.0],
    &[14.0, 4.0, 3.0, 4.0],
    &[7.0, 3.0],
    &[14.0, 4.0, 3.0, 4.0, 3.0, 4.0],
    &[2.0, 3.0],
    &[22.0, 6.0],
];

/// A rig's style by its mark. After eight the colours come again, each with another dash, so the
/// first 64 all differ.
pub fn rig_style(mark: u8) -> RigStyle {
    let (turn, place) = (usize::from(mark / 8), usize::from(mark % 8));
    // OK because both indices are remainders of the arrays' own length.
    RigStyle { colour: OKABE_ITO[place], dash: DASHES[(place + turn) % 8] }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_sixty_four_marks_differ() {
        let styles: Vec<RigStyle> = (0..64).map(rig_style).collect();
        for (place, style) in styles.iter().enumerate() {
            assert!(!styles[..place].contains(style), "mark {place} is a repetition");
        }
    }

    #[test]
    fn dash_patterns_come_in_pairs() {
        for mark in 0..8 {
            assert!(rig_style(mark).dash.len().is_multiple_of(2));
            assert!(rig_style(mark).dash.iter().all(|length| *length > 0.0));
        }
    }
}
