//! How the demand figures read, in the view and on the command line alike.

use fieldstop::demands::{Demands, Figure, Value};

use crate::state::demands::RigDemands;
use crate::words::{self, money, whole};

/// What a table says of a figure.
///
/// # Errors
/// The reason why there is none.
pub fn cell(demands: &Demands, figure: Figure, currency: &str) -> Result<String, String> {
    if figure == Figure::GuidingLoss && demands.guided_rms_arcsec.is_none() {
        return Err("the mount is not guided".to_owned());
    }
    let known = demands.value(figure).map_err(|why| why.to_string())?;
    Ok(value(figure, known, currency))
}

/// The rigs with a piece that one person should not lift alone, in a sentence.
pub fn heavy_pieces(rigs: &[RigDemands], lift_kg: f64) -> Option<String> {
    let heavy: Vec<String> = rigs
        .iter()
        .filter(|rig| rig.demands.load.heaviest_kg > lift_kg)
        .map(|rig| {
            let load = &rig.demands.load;
            format!("{} ({} {} kg)", rig.name, load.heaviest.label(), digits(load.heaviest_kg))
        })
        .collect();
    (!heavy.is_empty()).then(|| {
        format!("Too heavy for one person at {} kg a piece: {}.", plain(lift_kg), heavy.join(", "))
    })
}

/// A figure with its unit: `2.84″`, `3.5 min`, `62 %`, `f/7.0`.
pub fn value(figure: Figure, value: Value, currency: &str) -> String {
    match value {
        Value::Word(word) => word.to_owned(),
        Value::Flag(true) => "covers".to_owned(),
        Value::Flag(false) => "too small".to_owned(),
        Value::Number(number) => in_unit(figure, number, currency),
    }
}

fn in_unit(figure: Figure, number: f64, currency: &str) -> String {
    match figure {
        Figure::FocalLength => return words::focal_length(number),
        Figure::FocalRatio | Figure::PlanetaryFocalRatio => return words::focal_ratio(number),
        Figure::TNumber => return format!("T {number:.1}"),
        Figure::Price | Figure::ChecklistPrice => return money(number, currency),
        Figure::DepthOfFocus => return format!("± {} µm", digits(number)),
        Figure::Spacer => return format!("{number:.1} mm"),
        Figure::Detail => return whole(number),
        Figure::SubsANight => return whole(number),
        _ => {}
    }
    match figure.unit() {
        "arcsec" => arcsec(number),
        "s" => duration_s(number),
        "h" => hours(number),
        // One digit more, since a mark can change between two that would read alike.
        "of the FWHM" => format!("{:.1} %", number * 100.0),
        "of the rated payload" | "of its area" => percent(number),
        "e/s/px" => format!("{} e/s", digits(number)),
        "x" => format!("{}×", digits(number)),
        "" => digits(number),
        unit => format!("{} {unit}", digits(number)),
    }
}

/// Three digits that count, without an exponent: `0.0042`, `2.84`, `141`.
pub fn digits(number: f64) -> String {
    let size = number.abs();
    if size >= 999.5 {
        return whole(number);
    }
    if size >= 0.0995 || size == 0.0 {
        return words::three_digits(number);
    }
    // Nothing that is shown needs more than six decimals.
    let decimals = if size >= 0.00995 {
        3
    } else if size >= 0.000995 {
        4
    } else {
        6
    };
    format!("{number:.decimals$}")
}

/// The same without noughts that say nothing: `2`, `0.7`.
pub fn plain(number: f64) -> String {
    let text = digits(number);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Arcseconds: `2.84″`.
pub fn arcsec(number: f64) -> String {
    format!("{}″", digits(number))
}

/// A length of time from seconds: `0.41 s`, `92.0 s`, `3.5 min`, `2.1 h`.
pub fn duration_s(seconds: f64) -> String {
    if seconds < 120.0 {
        format!("{} s", digits(seconds))
    } else if seconds < 7200.0 {
        format!("{:.1} min", seconds / 60.0)
    } else {
        hours(seconds / 3600.0)
    }
}

/// Hours, or minutes where it is short.
pub fn hours(hours: f64) -> String {
    if hours < 1.0 / 60.0 {
        format!("{} s", digits(hours * 3600.0))
    } else if hours < 1.0 {
        format!("{} min", digits(hours * 60.0))
    } else {
        format!("{} h", digits(hours))
    }
}

/// A share: `62 %`, with a decimal where it is small.
pub fn percent(share: f64) -> String {
    let percent = share * 100.0;
    let decimals = usize::from(percent < 9.95);
    format!("{percent:.decimals$} %")
}

/// What the view calls a figure, with a capital.
pub fn title(figure: Figure) -> String {
    capitalised(figure.label())
}

/// Words as a line begins with them.
pub fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_in_the_unit_that_suits_them() {
        assert_eq!(duration_s(0.412), "0.41 s");
        assert_eq!(duration_s(210.0), "3.5 min");
        assert_eq!(duration_s(7560.0), "2.10 h");
        assert_eq!(hours(0.5), "30.0 min");
        assert_eq!(percent(0.621), "62 %");
        assert_eq!(percent(0.0123), "1.2 %");
        assert_eq!((digits(0.00421), digits(1533.2)), ("0.0042".into(), "1,533".into()));
        assert_eq!(
            (plain(3.0), plain(100.0), plain(0.5)),
            ("3".into(), "100".into(), "0.5".into())
        );
    }

    #[test]
    fn a_figure_carries_its_unit() {
        assert_eq!(value(Figure::DeliveredFwhm, Value::Number(2.8449), "EUR"), "2.84″");
        assert_eq!(value(Figure::PayloadUsed, Value::Number(0.37), "EUR"), "37 %");
        assert_eq!(value(Figure::ImageCircleOk, Value::Flag(false), "EUR"), "too small");
        assert_eq!(title(Figure::DeliveredFwhm), "Delivered FWHM");
    }
}
