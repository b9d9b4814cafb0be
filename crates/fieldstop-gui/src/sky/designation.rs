//! One spelling for every way of writing a name: `M31`, `m 31` and `Messier 31` are the same.
//!
//! Letters lose their case, spaces and apostrophes go, numbers lose leading zeros, and a
//! catalogue's full name becomes its abbreviation. Two runs of digits keep a dash between them
//! (`Sh2-190`, `ESO 56-115`), a plus stays where it is part of a position.

/// The one spelling of a name, for comparing.
///
/// Works for common names too: `the Running Man Nebula` and `Running man nebula` come out the
/// same.
///
/// # Example
/// ```
/// # use fieldstop_gui::sky::designation::key;
/// assert_eq!(key("NGC 224"), key("ngc0224"));
/// assert_eq!(key("sh 2-190"), key("Sharpless 190"));
/// assert_ne!(key("M 3"), key("M 31"));
/// ```
pub fn key(name: &str) -> String {
    let mut spelled = String::with_capacity(name.len());
    append_key(name, &mut spelled);
    spelled
}

/// Appends the key of a name to a text that may hold others.
///
/// Runs some 65,000 times at the start of the program.
pub(super) fn append_key(name: &str, out: &mut String) {
    let start = out.len();
    let mut rest = without_article(name.trim());
    let mut last = None;
    while let Some(c) = rest.chars().next() {
        if c.is_ascii_digit() {
            let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
            let (number, after) = rest.split_at(digits);
            append_number(number, last, out);
            last = Some(c);
            rest = after;
            continue;
        }
        rest = &rest[c.len_utf8()..];
        let is_point = c == '.'
            && last.is_some_and(|c: char| c.is_ascii_digit())
            && rest.starts_with(|next: char| next.is_ascii_digit());
        if c.is_ascii_alphabetic() || c == '+' || is_point {
            out.push(c.to_ascii_lowercase());
            last = Some(c);
        } else if c.is_alphanumeric() {
            out.extend(c.to_lowercase().map(without_accent));
            last = Some(c);
        }
    }
    abbreviate(out, start);
}

fn append_number(number: &str, before: Option<char>, out: &mut String) {
    let whole = match before {
        // A fraction: its zeros count.
        Some('.') => number,
        _ => number.trim_start_matches('0'),
    };
    if before.is_some_and(|c| c.is_ascii_digit()) {
        out.push('-');
    }
    out.push_str(if whole.is_empty() { "0" } else { whole });
}

/// The plain letter, for the few accents that occur in names on the sky (Boötes, Méchain).
pub(super) fn without_accent(c: char) -> char {
    match c {
        'ö' | 'ó' | 'ô' => 'o',
        'é' | 'è' | 'ê' => 'e',
        'á' | 'à' | 'ä' => 'a',
        'ü' | 'ú' => 'u',
        'í' => 'i',
        _ => c,
    }
}

fn without_article(name: &str) -> &str {
    match name.split_at_checked(4) {
        Some((article, rest)) if article.eq_ignore_ascii_case("the ") => rest.trim_start(),
        _ => name,
    }
}

/// Turns a catalogue's full name at the head of the key into its letters, if a number follows.
fn abbreviate(out: &mut String, start: usize) {
    let letters = out[start..].find(|c: char| !c.is_alphabetic()).unwrap_or(out.len() - start);
    let (head, number) = out[start..].split_at(letters);
    if !number.starts_with(|c: char| c.is_ascii_digit()) {
        return;
    }
    let short = match (head, number.contains('-')) {
        // The second Sharpless catalogue: with its 2 spelled out or not.
        ("sharpless", true) => "sh",
        ("sharpless", false) => "sh2-",
        ("messier", _) => "m",
        ("caldwell", _) => "c",
        ("barnard", _) => "b",
        ("melotte", _) => "mel",
        ("collinder" | "cl" | "col", _) => "cr",
        ("trumpler", _) => "tr",
        ("hickson", _) => "hcg",
        ("westerhout", _) => "w",
        ("leda", _) => "pgc",
        _ => return,
    };
    out.replace_range(start..start + letters, short);
}

#[cfg(test)]
mod tests {
    use super::key;

    #[test]
    fn usual_spellings_of_one_name_are_one_key() {
        for (wanted, spellings) in [
            (
                "m31",
                &["M31", "m 31", "M 31", "m-31", "M031", "Messier 31", "messier31", " M  31 "][..],
            ),
            ("ngc224", &["ngc0224", "NGC 224", "NGC-224", "N.G.C. 224", "ngc 00224"]),
            (
                "sh2-190",
                &["sh 2-190", "Sh2-190", "SH2 190", "Sh 2 190", "Sharpless 190", "sharpless 2-190"],
            ),
            ("c20", &["C 20", "c20", "Caldwell 20"]),
            ("eso56-115", &["ESO 056-115", "eso56-115", "ESO 056 115"]),
            ("bodesgalaxy", &["Bode's Galaxy", "bode\u{2019}s  galaxy", "the Bodes galaxy"]),
            ("cr399", &["Cl 399", "Cr 399", "Collinder 399"]),
        ] {
            for spelling in spellings {
                assert_eq!(key(spelling), wanted, "{spelling}");
            }
        }
    }

    #[test]
    fn different_names_keep_different_keys() {
        for (one, other) in [
            ("M 3", "M 30"),
            ("M 1", "M 10"),
            ("NGC 70", "NGC 7000"),
            ("MCG -02-33-003", "MCG +02-33-003"),
            ("G074.0-08.5", "G074.0+08.5"),
            ("G074.0-08.5", "G074.0-08.05"),
            ("NGC 1 0", "NGC 10"),
            ("IC 80 NED01", "IC 80"),
        ] {
            assert_ne!(key(one), key(other), "{one} and {other}");
        }
    }

    #[test]
    fn a_zero_alone_stays() {
        assert_eq!(key("x 0"), "x0");
        assert_eq!(key("x 000-0"), "x0-0");
        assert_eq!(key(""), "");
    }
}
