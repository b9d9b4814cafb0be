//! A site's nights through a year, and what each is worth for a target.
//!
//! The core counts in instants; here is what knows the site's clock. An *evening* is the date on
//! which a night begins: the night of the evening of 14 March lasts from noon on the 14th to noon
//! on the 15th by the clocks of the site, daylight saving included.

pub mod body_night;
pub mod date;
pub mod in_season;
pub mod month;
pub mod site_clock;
pub mod site_year;
pub mod target_year;

pub use body_night::BodyNight;
pub use in_season::{SeasonQuestion, in_season};
pub use month::{MONTHS, MonthHours};
pub use site_clock::SiteClock;
pub use site_year::{SiteYear, YearNight};
pub use target_year::TargetYear;
