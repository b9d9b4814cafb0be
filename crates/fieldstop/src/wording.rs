//! How a fill and an amount of money read, the same in sentences, tables and pictures.

/// From here on a number is written with an exponent.
pub const MOST_READABLE: f64 = 1e7;

/// Three significant digits without an exponent, and no fewer than the whole number has.
pub fn three_digits(number: f64) -> String {
    let decimals = match number.abs() {
        // Nobody reads a row of zeros; such numbers come from a slip of the pen.
        n if n >= MOST_READABLE => return format!("{number:.2e}"),
        n if n >= 99.95 => 0,
        n if n >= 9.995 => 1,
        _ => 2,
    };
    format!("{number:.decimals$}")
}

/// A fill: `0.78`, and near 1 three decimals or as many as tell it from 1, where they decide.
pub fn fill(fill: f64) -> String {
    /// More digits than this are no fact about the sky.
    const MOST: usize = 6;
    // What would read as nothing at all is not nothing.
    if fill > 0.0 && fill < 0.005 {
        return "under 0.01".to_owned();
    }
    if (fill - 1.0).abs() >= 0.05 {
        return three_digits(fill);
    }
    let texts = (3..=MOST).map(|decimals| format!("{fill:.decimals$}"));
    let told = |text: &String| text.parse::<f64>().is_ok_and(|read| (read > 1.0) == (fill > 1.0));
    texts.clone().find(told).unwrap_or_else(|| format!("{fill:.MOST$}"))
}

/// An amount of money: `1,730 EUR`.
pub fn money(amount: f64, currency: &str) -> String {
    format!("{} {currency}", whole(amount))
}

/// A whole number, its thousands set apart.
pub fn whole(number: f64) -> String {
    let plain = format!("{number:.0}");
    let (sign, figures) =
        plain.strip_prefix('-').map_or(("", plain.as_str()), |figures| ("-", figures));
    let mut text = String::new();
    for (place, figure) in figures.chars().enumerate() {
        if place > 0 && (figures.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(figure);
    }
    format!("{sign}{text}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fill_says_on_which_side_of_a_full_frame_it_lies() {
        assert_eq!(fill(0.7831), "0.78");
        assert_eq!(fill(1.0072), "1.007");
        assert_eq!(fill(1.000_04), "1.00004");
        assert_eq!(fill(1.0), "1.000");
        assert_eq!((fill(0.0049), fill(0.0051)), ("under 0.01".into(), "0.01".into()));
    }

    #[test]
    fn money_has_its_thousands_apart() {
        assert_eq!(money(12730.0, "EUR"), "12,730 EUR");
        assert_eq!(money(240.0, "EUR"), "240 EUR");
        assert_eq!(whole(-1000.0), "-1,000");
    }
}
