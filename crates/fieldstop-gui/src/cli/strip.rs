//! `fieldstop strip`: the same target through every rig side by side, or one rig on many targets.

use std::path::PathBuf;

use clap::{ArgGroup, Args};

use super::error::CliError;
use super::lookup;
use super::page_arguments::PageArguments;
use crate::sky::Sky;
use crate::strip::{Over, Same, StripOptions, strip};

/// Draw a target through every shown rig side by side, or one rig on several targets
#[derive(Args, Debug)]
#[command(group = ArgGroup::new("over").required(true).args(["target", "rig"]))]
pub(super) struct Arguments {
    /// The kit file
    kit: PathBuf,
    /// A panel for every shown rig, on this target
    #[arg(long, value_name = "NAME")]
    target: Option<String>,
    /// A panel for every target, through this rig
    #[arg(long, value_name = "NAME")]
    rig: Option<String>,
    /// The targets of those panels, with commas between; the first 12 of the wish list if left out
    #[arg(long, value_name = "NAME,NAME", requires = "rig", value_delimiter = ',')]
    targets: Vec<String>,
    /// What is the same in every panel
    #[arg(long, value_enum, default_value_t = Same::Scale)]
    same: Same,
    #[command(flatten)]
    page: PageArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<String, CliError> {
    let format = arguments.page.format(&arguments.kit)?;
    let sky = Sky::embedded()?;
    let kit = lookup::kit(&arguments.kit, &sky.catalogue)?;
    let over = match (&arguments.target, &arguments.rig) {
        (Some(target), _) => {
            lookup::target(&kit, &sky.catalogue, target)?;
            Over::Rigs { target: target.clone() }
        }
        (None, rig) => {
            let rig = rig.clone().unwrap_or_default();
            lookup::rig(&kit, &rig)?;
            for target in &arguments.targets {
                lookup::target(&kit, &sky.catalogue, target.trim())?;
            }
            Over::Targets { rig, targets: arguments.targets.clone() }
        }
    };
    let options = StripOptions { over, same: arguments.same, style: arguments.page.style() };
    arguments.page.write(&strip(&kit, &sky, &options, format, &mut |_share| true)?)
}
