//! The wish list with its places and sizes. Its file for other programs is
//! [`wish_csv`](crate::files::wish_csv), which has fewer columns and reads back.

use fieldstop::kit::Kit;

use super::{Cell, Column, PLACE, column, place_cells};
use crate::sky::catalogue::Catalogue;
use crate::sky::wish::{as_drawn, target_of};

pub(super) fn columns() -> Vec<Column> {
    let mut columns = vec![
        column("target", "", "name of the target"),
        column("common_name", "", "what people call it"),
        column("kind", "", "what it is"),
        column("constellation", "", "IAU abbreviation; empty for a target of one's own"),
    ];
    columns.extend(PLACE);
    columns.extend([
        column("major_arcmin", "arcmin", "full major axis"),
        column("minor_arcmin", "arcmin", "full minor axis"),
        column("position_angle_deg", "deg", "of the major axis, north through east"),
        column("outline", "", "what fits go by: catalogue, own or drawn; empty without a size"),
        column("drawn_across_arcmin", "arcmin", "longest reach of the shape drawn by hand"),
        column("size_uncertain", "", "whether the size is a guess or that of a part"),
        column("magnitude", "mag", "integrated, in V"),
        column("surface_brightness_mag_arcsec2", "mag/arcsec2", "mean, in V"),
        column("stars", "", "how much it is wanted, 1 to 5"),
    ]);
    columns
}

pub(super) fn rows(kit: &Kit, catalogue: &Catalogue) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    for wish in &kit.wish_list {
        let Some(target) = target_of(wish, catalogue) else { continue };
        let target = as_drawn(kit, wish.name(), target);
        let mut row: Vec<Cell> = vec![
            wish.name().into(),
            target.common_names.first().map(String::as_str).into(),
            target.kind.label().into(),
            target.constellation.as_str().into(),
        ];
        row.extend(place_cells(target.ra_deg, target.dec_deg));
        row.extend::<[Cell; 9]>([
            target.major_arcmin.into(),
            target.minor_arcmin.into(),
            target.pa_deg.into(),
            target.outline_word().into(),
            target.drawn.as_ref().map(|drawn| drawn.major().arcmin()).into(),
            target.size_uncertain.into(),
            target.magnitude.into(),
            target.surface_brightness_mag_arcsec2.into(),
            kit.stars(wish.name()).into(),
        ]);
        rows.push(row);
    }
    rows
}
