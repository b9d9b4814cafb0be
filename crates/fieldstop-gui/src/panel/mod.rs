//! Pieces beside and around a view. None knows another; each is given what it shows.

pub mod about;
pub mod changed_on_disk;
pub mod clear_nights;
pub mod file_window;
pub mod finder;
pub mod first_start;
pub mod ladder;
pub mod own_target;
pub mod panels_window;
pub mod parts;
mod picked_wishes;
pub mod picture_window;
pub mod recovered;
pub mod sheet_window;
pub mod shortlist;
pub mod site;
pub mod sketch_window;
pub mod skyline;
pub mod status_line;
pub mod tables_window;
pub mod top_bar;
pub mod unsaved;
pub mod wish_file_window;
pub mod wish_list;
