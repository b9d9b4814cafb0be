//! A sheet as one page of HTML: real headings and tables, pictures within it, nothing from outside.
//!
//! Also well-formed XML, so that other programs can read its tables. Every table is whole here.

use std::fmt::Write;

use super::facts::Facts;
use super::{
    LANGUAGE, calendar, demands_table, frames, glossary, header, ladder, matrix, notes, parts,
    reasons, rig_key, wish_rows,
};
use crate::demand_words;
use crate::nights::date::month_name;
use crate::nights::{MONTHS, MonthHours};
use crate::paint::pdf::Role;
use crate::paint::svg::{SvgInfo, escaped, render_with};
use crate::scene::primitive::Stroke;
use crate::scene::{Palette, Scene};
use crate::sky::Sky;

/// Size of the sky in the page.
const SKY_PT: (f64, f64) = (640.0, 400.0);
/// Width of the ladder in the page.
const LADDER_PT: f64 = 640.0;
/// Room for names in the ladder.
const LADDER_NAME_PT: f64 = 150.0;
const LADDER_ROW_PT: f64 = 12.0;

/// Looks: ink on white, tables that a printer does not tear apart.
const STYLE: &str = "\
:root { color-scheme: light; }
body { font: 15px/1.45 'Noto Sans', sans-serif; color: #0c0e12; background: #fff;
  max-width: 62em; margin: 2em auto; padding: 0 1.2em; }
h1 { font-size: 1.9em; margin: 0 0 .1em; }
h2 { font-size: 1.2em; margin: 1.8em 0 .5em; border-bottom: 1px solid #8c929c; padding-bottom: .15em; }
p { margin: .4em 0; max-width: 52em; }
.quiet { color: #4a4f59; font-size: .87em; }
.answer { background: #eceef1; border-left: 4px solid #0c0e12; padding: .6em 1em; margin: 1em 0; }
.answer strong { font-size: 1.15em; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; font-size: .84em; font-variant-numeric: tabular-nums; margin: .6em 0; }
th, td { text-align: left; vertical-align: top; padding: .2em .6em .2em 0; border-bottom: 1px solid #d5d9df; }
thead th { border-bottom: 1px solid #8c929c; vertical-align: bottom; }
tbody th { font-weight: 400; white-space: nowrap; }
tbody.group > tr:first-child th { font-weight: 600; padding-top: .7em; }
td.n, th.n { text-align: right; }
caption { text-align: left; color: #4a4f59; padding-bottom: .3em; }
svg { max-width: 100%; height: auto; display: block; }
figure { margin: .8em 0; }
figcaption { color: #4a4f59; font-size: .87em; }
dl { font-size: .9em; margin: .5em 0; overflow: hidden; }
dt { color: #4a4f59; float: left; clear: left; } dd { margin: 0 0 .15em 9em; }
@media print {
  body { font-size: 10px; max-width: none; margin: 0; padding: 0; }
  h2 { break-after: avoid; } tr, figure, .answer { break-inside: avoid; }
  thead { display: table-header-group; } .wide { overflow: visible; }
}";

/// The page.
pub(super) fn page(facts: &Facts, sky: &Sky) -> String {
    let mut page = Page { out: String::with_capacity(400_000) };
    page.head(facts);
    page.answer(facts);
    page.frames(facts, sky);
    page.parts(facts);
    page.assumptions(facts);
    page.demands(facts);
    page.calendar(facts);
    page.ladder(facts);
    page.matrix(facts);
    page.reasons(facts);
    page.cautions(facts);
    page.glossary(facts);
    page.sources(facts);
    page.out.push_str("</main>\n</body>\n</html>\n");
    page.out
}

/// A page in the making.
struct Page {
    out: String,
}

/// Writes to the page. OK to drop the result: writing to a text cannot fail.
macro_rules! put {
    ($page:expr, $($words:tt)*) => { let _ = write!($page.out, $($words)*); };
}

impl Page {
    fn head(&mut self, facts: &Facts) {
        let (title, about) = (header::title(facts), header::description(facts));
        put!(
            self,
            "<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"{LANGUAGE}\" \
             xml:lang=\"{LANGUAGE}\">\n<head>\n<meta charset=\"utf-8\"/>\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
             <meta name=\"description\" content=\"{}\"/>\n<meta name=\"generator\" content=\"{}\"/>\n\
             <title>{}</title>\n<style>\n{STYLE}\n</style>\n</head>\n<body>\n<main>\n\
             <h1>{}</h1>\n<p class=\"quiet\">{}</p>\n",
            escaped(&about),
            header::software(),
            escaped(&title),
            escaped(&facts.kit.name),
            escaped(&header::subtitle(facts))
        );
    }

    fn heading(&mut self, words: &str) {
        put!(self, "<h2>{}</h2>\n", escaped(words));
    }

    fn quiet(&mut self, words: &str) {
        put!(self, "<p class=\"quiet\">{}</p>\n", escaped(words));
    }

    fn list(&mut self, id: &str, items: impl Iterator<Item = impl AsRef<str>>) {
        put!(self, "<ul id=\"{id}\">\n");
        for item in items {
            put!(self, "<li>{}</li>\n", escaped(item.as_ref()));
        }
        self.out.push_str("</ul>\n");
    }

    /// A head cell over a column.
    fn column(&mut self, words: &str) {
        put!(self, "<th scope=\"col\">{}</th>", escaped(words));
    }

    fn number_column(&mut self, words: &str) {
        put!(self, "<th scope=\"col\" class=\"n\">{}</th>", escaped(words));
    }

    fn row_head(&mut self, words: &str) {
        put!(self, "<tr><th scope=\"row\">{}</th>", escaped(words));
    }

    fn cell(&mut self, words: &str) {
        put!(self, "<td>{}</td>", escaped(words));
    }

    fn number(&mut self, words: &str) {
        put!(self, "<td class=\"n\">{}</td>", escaped(words));
    }

    fn row_end(&mut self) {
        self.out.push_str("</tr>\n");
    }

    /// Opens a table up to the first cell of its head.
    fn table(&mut self, id: &str, caption: &str) {
        put!(
            self,
            "<div class=\"wide\">\n<table id=\"{id}\">\n<caption>{}</caption>\n<thead>\n<tr>",
            escaped(caption)
        );
    }

    fn body(&mut self) {
        self.out.push_str("</tr>\n</thead>\n<tbody>\n");
    }

    fn table_end(&mut self) {
        self.out.push_str("</tbody>\n</table>\n</div>\n");
    }

    fn rig_columns(&mut self, facts: &Facts, count: usize) {
        for rig in 0..count {
            self.column(&format!("{} {}", rig + 1, rig_key::name(facts, rig)));
        }
    }

    fn answer(&mut self, facts: &Facts) {
        put!(
            self,
            "<div class=\"answer\" id=\"answer\">\n<p><strong>{}</strong></p>\n",
            escaped(&header::headline(facts))
        );
        for sentence in header::answer(facts) {
            put!(self, "<p>{}</p>\n", escaped(sentence));
        }
        put!(self, "<p>{}</p>\n</div>\n", escaped(&header::served_words(facts)));
    }

    /// A picture with its description, drawn into the page.
    fn picture(&mut self, scene: &Scene, id: &str, title: &str, words: &str, caption: &str) {
        let svg = render_with(
            scene,
            &SvgInfo {
                title: title.to_owned(),
                description: words.to_owned(),
                id_prefix: id.to_owned(),
                ..SvgInfo::default()
            },
        );
        put!(self, "<figure>\n{svg}<figcaption>{}</figcaption>\n</figure>\n", escaped(caption));
    }

    fn frames(&mut self, facts: &Facts, sky: &Sky) {
        self.heading(&frames::heading(facts));
        let scene = frames::sky(facts, sky, SKY_PT, &Palette::paper());
        let words = frames::alternative(facts);
        let title = frames::heading(facts);
        self.picture(&scene, "sky", &title, &words, &frames::caption(facts));
        self.table("frames", "Frames and figures of the rigs");
        for (place, head) in frames::HEADS.iter().enumerate() {
            if place == 0 || place + 1 == frames::HEADS.len() {
                self.column(head);
            } else {
                self.number_column(head);
            }
        }
        self.body();
        for rig in 0..facts.kit.rigs.len() {
            let Some(cells) = frames::cells(facts, rig) else { continue };
            self.row_head(&format!("{} {}", rig + 1, rig_key::name(facts, rig)));
            for (place, words) in cells.iter().enumerate() {
                if place + 1 == cells.len() { self.cell(words) } else { self.number(words) }
            }
            self.row_end();
        }
        self.table_end();
    }

    fn parts(&mut self, facts: &Facts) {
        self.table("rigs", parts::CAPTION);
        for head in parts::HEADS {
            self.column(head);
        }
        self.body();
        for rig in 0..facts.kit.rigs.len() {
            let Some(cells) = parts::cells(facts, rig) else { continue };
            self.row_head(&format!("{} {}", rig + 1, rig_key::name(facts, rig)));
            for words in cells {
                self.cell(words);
            }
            self.row_end();
        }
        self.table_end();
    }

    fn assumptions(&mut self, facts: &Facts) {
        self.heading(notes::ASSUMPTIONS);
        let pairs = notes::assumptions(facts);
        self.pairs(pairs.iter().map(|(label, value)| (*label, value.as_str())));
        self.quiet(notes::UNCERTAIN);
    }

    fn pairs<'a>(&mut self, pairs: impl Iterator<Item = (&'a str, &'a str)>) {
        self.out.push_str("<dl>\n");
        for (label, value) in pairs {
            put!(self, "<dt>{}</dt><dd>{}</dd>\n", escaped(label), escaped(value));
        }
        self.out.push_str("</dl>\n");
    }

    fn glossary(&mut self, facts: &Facts) {
        self.heading(glossary::HEADING);
        let terms = glossary::terms(facts);
        self.pairs(terms.into_iter().map(|term| (term.word, term.meaning)));
    }

    fn demands(&mut self, facts: &Facts) {
        self.heading(demands_table::HEADING);
        self.quiet(demands_table::KEY);
        let rigs = facts.demands.len();
        self.table("demands", &demands_table::place_words(facts));
        self.column("Figure");
        self.rig_columns(facts, rigs);
        self.out.push_str("</tr>\n</thead>\n");
        for (name, figures) in demands_table::groups(facts) {
            put!(
                self,
                "<tbody class=\"group\">\n<tr><th scope=\"rowgroup\" colspan=\"{}\">{}</th></tr>\n",
                rigs + 1,
                escaped(name)
            );
            for figure in figures {
                self.row_head(&demand_words::title(figure));
                for rig in 0..rigs {
                    let cell = demands_table::cell(facts, rig, figure);
                    let grade = cell.grade.map_or_else(String::new, |grade| {
                        format!(" {}\u{a0}{}", demands_table::sign(grade), grade.label())
                    });
                    self.cell(&format!("{}{grade}", cell.text));
                }
                self.row_end();
                if demands_table::has_range(facts, figure) {
                    self.row_head(&format!(
                        "{} {}",
                        demand_words::title(figure),
                        demands_table::RANGE_LABEL
                    ));
                    for rig in 0..rigs {
                        let range = demands_table::range(facts, rig, figure);
                        self.cell(&range.unwrap_or_else(|| "–".to_owned()));
                    }
                    self.row_end();
                }
            }
            self.out.push_str("</tbody>\n");
        }
        self.out.push_str("</table>\n</div>\n");
        if let Some(reasons) = demands_table::reasons(facts) {
            self.quiet(&reasons);
        }
    }

    fn calendar(&mut self, facts: &Facts) {
        self.heading("When the wish list is up");
        if facts.wished.is_empty() {
            self.quiet(wish_rows::EMPTY);
            return;
        }
        self.table("calendar", &calendar::words(facts));
        self.column("Target");
        for month in 0..MONTHS {
            self.number_column(month_name(month).get(..3).unwrap_or_default());
        }
        self.number_column(calendar::year_head(facts));
        self.body();
        let dark: f64 = facts.dark.iter().map(|month| month.dark).sum();
        self.months(facts, "Dark at the site", &facts.dark, dark);
        for wished in &facts.wished {
            let name = wish_rows::name(facts, wished);
            self.months(facts, &name, &wished.year.months, wished.year.total.dark);
        }
        self.table_end();
    }

    fn months(&mut self, facts: &Facts, name: &str, months: &[MonthHours; MONTHS], total: f64) {
        let full = calendar::full_hours(facts);
        self.row_head(name);
        for month in months {
            let share = if full > 0.0 { (month.dark / full).clamp(0.0, 1.0) } else { 0.0 };
            let [red, green, blue, _] = calendar::shade(share, &Palette::paper()).0;
            put!(
                self,
                "<td class=\"n\" style=\"background:#{red:02x}{green:02x}{blue:02x}\">{}</td>",
                calendar::hours_words(month.dark)
            );
        }
        self.number(&calendar::year_words(facts, months, total));
        self.row_end();
    }

    fn ladder(&mut self, facts: &Facts) {
        if facts.wished.is_empty() {
            return;
        }
        self.heading("Which focal lengths suit it");
        let scene = ladder_scene(facts, &Palette::paper());
        let rigs: Vec<String> = facts
            .rigs
            .iter()
            .enumerate()
            .map(|(rig, figures)| {
                let length = crate::words::focal_length(figures.focal_length_mm);
                format!("{} {} at {length}", rig + 1, rig_key::name(facts, rig))
            })
            .collect();
        let words = format!(
            "A bar for each target along a logarithmic axis of focal length, and an upright line \
             for each rig: {}. The table below has the lengths.",
            rigs.join("; ")
        );
        self.picture(&scene, "ladder", "Focal ladder", &words, &ladder::words(facts));
        self.table("ranges", "Useful focal lengths of each target");
        self.column("Target");
        for head in ["Shows its detail from", "Whole to"] {
            self.number_column(head);
        }
        self.body();
        for (wished, range) in facts.wished.iter().zip(&facts.choice.ranges) {
            self.row_head(&wish_rows::name(facts, wished));
            for words in ladder::range_words(range) {
                self.number(&words);
            }
            self.row_end();
        }
        self.table_end();
    }

    fn matrix(&mut self, facts: &Facts) {
        if facts.wished.is_empty() {
            return;
        }
        self.heading(matrix::HEADING);
        self.table("matrix", &format!("{} {}", matrix::key(facts), matrix::FILL_KEY));
        self.column("Target");
        self.rig_columns(facts, facts.choice.rigs.len());
        self.body();
        for (place, wished) in facts.wished.iter().enumerate() {
            self.row_head(&wish_rows::name(facts, wished));
            for rig in &facts.choice.rigs {
                let Some(cell) = rig.cells.get(place) else { continue };
                let (sign, word) = matrix::verdict(cell);
                // A sign stays with its word.
                self.cell(format!("{sign}\u{a0}{word} {}", matrix::measure(cell)).trim());
            }
            self.row_end();
        }
        self.row_head(matrix::SUMS);
        for rig in 0..facts.choice.rigs.len() {
            self.cell(&matrix::served(facts, rig));
        }
        self.row_end();
        self.table_end();
    }

    fn reasons(&mut self, facts: &Facts) {
        let sentences = reasons::sentences(facts);
        if !sentences.is_empty() {
            self.heading(reasons::HEADING);
            self.list("reasons", sentences.into_iter());
        }
    }

    fn cautions(&mut self, facts: &Facts) {
        self.heading(notes::CAUTIONS);
        self.list("cautions", notes::cautions(facts).into_iter());
    }

    fn sources(&mut self, facts: &Facts) {
        self.heading(notes::SOURCES);
        for words in notes::sources(facts) {
            self.quiet(&words);
        }
    }
}

/// The ladder as a picture of its own, with the targets' names.
fn ladder_scene(facts: &Facts, palette: &Palette) -> Scene {
    use super::block::Block;
    use super::text::CELL;
    use crate::scene::primitive::Anchor;

    let axis = ladder::axis(LADDER_NAME_PT, LADDER_PT - 14.0);
    let mut head = Block::new(Role::Ornament);
    let below = ladder::head(&mut head, facts, axis, palette);
    head.rule(0.0, LADDER_PT, below, Stroke::solid(palette.rule, 0.7));
    let height = below + LADDER_ROW_PT * facts.wished.len() as f64 + 2.0;
    let mut scene = Scene::new(LADDER_PT, height, palette.page);
    scene.items.extend(head.placed([0.0, 0.0]));
    for (place, wished) in facts.wished.iter().enumerate() {
        let down = LADDER_ROW_PT * place as f64;
        let mut row = Block::new(Role::Ornament);
        let name = wish_rows::name_within(facts, wished, CELL, LADDER_NAME_PT - 8.0);
        row.text([0.0, LADDER_ROW_PT - 3.2], Anchor::Start, &name, CELL, palette.text);
        let (range, middle) = (facts.choice.ranges.get(place), LADDER_ROW_PT / 2.0);
        ladder::bar(&mut row, range, axis, middle, palette);
        ladder::rig_lines(&mut row, facts, axis, (LADDER_ROW_PT, down), palette);
        ladder::note(&mut row, facts, range, axis, middle, palette);
        scene.items.extend(row.placed([0.0, below + down]));
    }
    scene
}
