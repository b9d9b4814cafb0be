//! Where the photographs are to be taken, and what the person can spend, carry and accept.

use egui::Ui;
use fieldstop::kit::{Kit, Limits, Site};
use fieldstop::range;

use super::{clear_nights, skyline};
use crate::files::kit_file::is_known_zone;
use crate::widget::{NumberField, beside_sky, name_field, scrolled_in};

/// Shows site and limits in a window of their own.
pub fn window(ctx: &egui::Context, open: &mut bool, kit: &mut Kit) {
    egui::Window::new("Site and limits")
        .open(open)
        .default_size([340.0, 620.0])
        .default_pos(beside_sky(ctx, 340.0))
        .resizable(false)
        .show(ctx, |ui| {
            scrolled_in(ui, "site", egui::ScrollArea::vertical(), |ui| {
                if let Some(name) = name_field(ui, "Kit", &kit.name, not_empty) {
                    kit.name = name;
                }
                ui.add_space(8.0);
                ui.strong("Site");
                site(ui, &mut kit.site);
                ui.add_space(8.0);
                ui.strong("Limits");
                limits(ui, &mut kit.limits);
            });
        });
}

fn not_empty(name: &str) -> Result<(), String> {
    if name.is_empty() { Err("is empty; expected a name.".to_owned()) } else { Ok(()) }
}

/// Shows a number and writes it back once accepted.
fn number(ui: &mut Ui, field: NumberField<'_>, value: &mut f64) {
    if let Some(new) = field.show(ui, *value) {
        *value = new;
    }
}

fn optional(ui: &mut Ui, field: NumberField<'_>, value: &mut Option<f64>) {
    if let Some(new) = field.show_optional(ui, *value) {
        *value = new;
    }
}

fn site(ui: &mut Ui, site: &mut Site) {
    if let Some(name) = name_field(ui, "Place", &site.name, not_empty) {
        site.name = name;
    }
    number(
        ui,
        NumberField::new("Latitude", "°", range::LATITUDE).tip("North positive"),
        &mut site.latitude_deg,
    );
    number(
        ui,
        NumberField::new("Longitude", "°", range::LONGITUDE).tip("East positive"),
        &mut site.longitude_deg,
    );
    number(ui, NumberField::new("Elevation", "m", range::ELEVATION_M), &mut site.elevation_m);
    let zone = |zone: &str| {
        if is_known_zone(zone) {
            Ok(())
        } else {
            Err("is not a known zone; expected an IANA name such as Europe/London.".to_owned())
        }
    };
    if let Some(zone) = name_field(ui, "Time zone", &site.time_zone, zone) {
        site.time_zone = zone;
    }
    let sky = NumberField::new("Sky brightness", "mag/″²", range::SURFACE_BRIGHTNESS)
        .tip("At the zenith without the Moon. About 18 in a city, 20.5 in the country, 21.8 far from any town");
    number(ui, sky, &mut site.sky_brightness_mag_arcsec2);
    let seeing = NumberField::new("Seeing", "arcsec", range::SEEING_ARCSEC)
        .tip("Width at half maximum of a star's image in a long exposure. 2 to 4 arcsec is usual in the lowlands");
    number(ui, seeing, &mut site.seeing_fwhm_arcsec);
    let extinction = NumberField::new("Extinction", "mag", range::EXTINCTION_MAG)
        .tip("Magnitudes lost for each airmass; 0.15 to 0.3 is usual");
    number(ui, extinction, &mut site.extinction_mag_airmass);
    let lowest = NumberField::new("Lowest altitude", "°", range::LOWEST_ALTITUDE)
        .tip("Nothing lower is worth photographing from here");
    number(ui, lowest, &mut site.lowest_altitude_deg);
    skyline::ui(ui, &mut site.horizon);
    clear_nights::ui(ui, &mut site.clear_fraction);
}

fn limits(ui: &mut Ui, limits: &mut Limits) {
    if let Some(currency) = name_field(ui, "Currency", &limits.currency, not_empty) {
        limits.currency = currency;
    }
    let currency = limits.currency.clone();
    let budget = NumberField::new("Budget", &currency, range::MONEY).tip("Empty for none");
    optional(ui, budget, &mut limits.budget);
    let carry = NumberField::new("Can be carried", "kg", range::MASS_KG)
        .tip("In all. Follow local guidance on lifting for any single piece");
    optional(ui, carry, &mut limits.carry_kg);
    let payload = NumberField::new("Payload share", "", range::SHARE).tip(
        "Share of a mount's rated payload that imaging may use; about half is common practice",
    );
    number(ui, payload, &mut limits.payload_share);
    let whole = NumberField::new("Whole up to a fill of", "", range::SHARE).tip(
        "A target that fills at most this share of the frame counts as whole; up to 1 it is tight",
    );
    number(ui, whole, &mut limits.whole_fill);
    let overlap = NumberField::new("Panel overlap", "", range::OVERLAP)
        .tip("Of a panel's side, so that the panels of a mosaic can be joined");
    number(ui, overlap, &mut limits.overlap);
    let detail = NumberField::new("Wanted detail", "", range::DETAIL)
        .tip("Resolution elements wanted across a target");
    number(ui, detail, &mut limits.detail);
    let snr = NumberField::new("Wanted signal to noise", "", range::SNR);
    number(ui, snr, &mut limits.snr);
}
