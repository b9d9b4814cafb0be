//! The wish list as a VOTable 1.4.

use fieldstop::kit::Kit;
use votable::coosys::{CooSys, System};
use votable::datatype::Datatype;
use votable::error::VOTableError;
use votable::field::ArraySize;
use votable::impls::VOTableValue;
use votable::impls::mem::InMemTableDataRows;
use votable::resource::ResourceSubElem;
use votable::votable::Version;
use votable::{Data, Field, Resource, Table, VOTable};

use crate::files::wish_csv;
use crate::sky::catalogue::Catalogue;
use crate::tables::Cell;

/// Of the coordinate system, to which the places refer.
const ICRS: &str = "icrs";

/// The wish list as a VOTable: places in ICRS degrees, sizes in arcminutes, each column with its UCD.
///
/// # Errors
/// When the library refuses, which it does for no list that a kit can hold.
pub fn write(kit: &Kit, catalogue: &Catalogue) -> Result<String, VOTableError> {
    let rows = wish_csv::rows(kit, catalogue);
    let data = InMemTableDataRows::new(rows.iter().map(|row| values(row)).collect());
    let mut table = Table::new()
        .set_name("wish_list")
        .set_description("Targets wanted. Sizes are full axes.".into());
    for field in fields() {
        table = table.push_field(field);
    }
    let table = table.set_data(Data::new_empty().set_tabledata(data));
    let resource = Resource::default()
        .set_name(plain(&kit.name))
        .push_coosys(CooSys::new(ICRS, System::new_icrs()))
        .push_sub_elem(ResourceSubElem::from_table(table));
    let described = concat!("Wish list written by Fieldstop ", env!("CARGO_PKG_VERSION"));
    VOTable::new(Version::V1_4, resource)
        .set_description(described.into())
        .wrap()
        .to_ivoa_xml_string()
}

/// UCDs of the IVOA's list, UCD1+ 1.4.
fn fields() -> [Field; 9] {
    let text = |name: &str, datatype, ucd: &str, what: &str| {
        Field::new(name, datatype)
            .set_ucd(ucd)
            .set_arraysize(ArraySize::Variable1D)
            .set_description(what.into())
    };
    let number = |name: &str, unit: &str, ucd: &str, what: &str| {
        Field::new(name, Datatype::Double).set_ucd(ucd).set_unit(unit).set_description(what.into())
    };
    [
        // Names may have letters beyond ASCII, which the datatype char has not.
        text("name", Datatype::CharUnicode, "meta.id;meta.main", "Name of the target"),
        text("listed_as", Datatype::CharASCII, "meta.code", "catalogue or own"),
        number("ra", "deg", "pos.eq.ra;meta.main", "Right ascension").set_ref(ICRS),
        number("dec", "deg", "pos.eq.dec;meta.main", "Declination").set_ref(ICRS),
        number("major_axis", "arcmin", "phys.angSize", "Full major axis"),
        number("minor_axis", "arcmin", "phys.angSize", "Full minor axis"),
        number("position_angle", "deg", "pos.posAng", "Of the major axis, north through east"),
        number("surface_brightness", "mag/arcsec**2", "phot.mag.sb", "Mean, in V"),
        text("outline", Datatype::CharASCII, "meta.code", wish_csv::OUTLINE),
    ]
}

/// The columns of the CSV file without the sexagesimal ones.
fn values(row: &[Cell]) -> Vec<VOTableValue> {
    let columns = wish_csv::COLUMNS.iter().zip(row);
    let kept = columns.filter(|(column, _)| !matches!(column.name, "ra_hms" | "dec_dms"));
    kept.map(|(_, cell)| match cell {
        Cell::Text(text) => VOTableValue::String(plain(text)),
        Cell::Number(number) => VOTableValue::Double(*number),
        // There are no others in a wish list.
        Cell::Empty | Cell::Whole(_) | Cell::Flag(_) => VOTableValue::Null,
    })
    .collect()
}

/// A text without the characters that XML 1.0 has no way to write.
fn plain(text: &str) -> String {
    let writable = |c: char| !c.is_control() && !matches!(c, '\u{fffe}' | '\u{ffff}');
    text.chars().map(|c| if writable(c) { c } else { ' ' }).collect()
}
