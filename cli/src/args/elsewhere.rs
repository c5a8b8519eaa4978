//! An option that another command has. In: clap's error. Out: the same, with the commands that take the option in place of a
//! hint that would lead astray.

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Command, CommandFactory};

use super::Args;

/// Names the commands that have an option which the one typed hasn't.
pub(crate) fn told(mut error: clap::Error) -> clap::Error {
    if error.kind() != ErrorKind::UnknownArgument {
        return error;
    }
    let Some(ContextValue::String(option)) = error.get(ContextKind::InvalidArg) else {
        return error;
    };
    let commands = with_option(option);
    if commands.is_empty() {
        return error;
    }
    let tip = format!("`{option}` is an option of {}", commands.join(", "));
    error.remove(ContextKind::SuggestedArg);
    error.insert(
        ContextKind::Suggested,
        ContextValue::StyledStrs(vec![tip.into()]),
    );
    error
}

/// The commands that have an option, each in the words in which it is typed.
fn with_option(option: &str) -> Vec<String> {
    let Some(long) = option.strip_prefix("--") else {
        return Vec::new();
    };
    let long = long.split('=').next().unwrap_or(long);
    let mut found = Vec::new();
    search(&Args::command(), "", long, &mut found);
    found
}

fn search(command: &Command, before: &str, long: &str, found: &mut Vec<String>) {
    for under in command.get_subcommands() {
        let name = format!("{before}{}", under.get_name());
        if under.get_arguments().any(|it| it.get_long() == Some(long)) {
            found.push(format!("`{name}`"));
        }
        search(under, &format!("{name} "), long, found);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn options_lead_to_their_commands() {
        let set = with_option("--set");
        assert!(set.contains(&"`try`".to_owned()), "{set:?}");
        assert!(!set.contains(&"`fit`".to_owned()), "{set:?}");
        assert_eq!(with_option("--hours=2"), ["`built note`"]);
        assert_eq!(with_option("--colour"), [""; 0]);
        assert_eq!(with_option("-x"), [""; 0]);
    }
}
