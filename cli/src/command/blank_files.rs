//! The files of blanks: DXF, PDF and SVG, one for each part. In: blanks, and the folders that were typed. Out: the names of what was
//! written.

use std::path::Path;

use strongback_model::blank::Blank;
use strongback_model::quantity::Unit;
use strongback_model::source::{Code, Fault};

use super::draw::write_whole;
use crate::args::{self, PaperWord};
use crate::load::Refused;
use crate::picture::{Paper, pages, template};
use crate::{dxf, pdf};

/// Writes what was asked for.
pub(super) fn write(
    args: &args::Blanks,
    title: &str,
    blanks: &[Blank],
    unit: Unit,
) -> Result<Vec<String>, Refused> {
    let paper = match (args.paper, unit) {
        (Some(PaperWord::A4), _) => Paper::A4,
        (Some(PaperWord::Letter), _) | (None, Unit::Inch | Unit::Foot) => Paper::Letter,
        (None, _) => Paper::A4,
    };
    let names = file_names(blanks);
    let mut written = Vec::new();
    let mut put = |folder: &Path, ending: &str, make: &dyn Fn(&Blank) -> Result<Vec<u8>, Fault>| {
        let trouble = |path: &Path, fault: Fault| Refused {
            path: path.display().to_string(),
            text: String::new(),
            faults: vec![fault],
        };
        std::fs::create_dir_all(folder).map_err(|error| {
            let message = format!("the folder can't be made: {}", error.kind());
            trouble(folder, Fault::error(Code::File, message))
        })?;
        for (blank, name) in blanks.iter().zip(&names) {
            let path = folder.join(format!("{name}.{ending}"));
            let bytes = make(blank).map_err(|fault| trouble(&path, fault))?;
            write_whole(&path, &bytes)?;
            written.push(path.display().to_string());
        }
        Ok(())
    };
    if let Some(folder) = &args.dxf {
        let ending = format!("{}.dxf", dxf::unit_of(unit).symbol());
        put(folder, &ending, &|blank| {
            Ok(dxf::dxf(blank, unit).into_bytes())
        })?;
    }
    if let Some(folder) = &args.pdf {
        put(folder, "pdf", &|blank| {
            let fault = |message: String| Fault::error(Code::File, message);
            let pages = pages(title, blank, unit, paper).ok_or_else(|| {
                let message = format!(
                    "the template of `{}` would take hundreds of pages",
                    blank.part
                );
                fault(message).help("have it cut from the DXF, or name other parts")
            })?;
            pdf::pdf(&pages).map_err(|error| fault(format!("the template can't be made: {error}")))
        })?;
    }
    if let Some(folder) = &args.svg {
        put(folder, "svg", &|blank| {
            Ok(template(blank, unit).into_bytes())
        })?;
    }
    Ok(written)
}

/// A name for each blank's files: the part's, of signs that every file system takes, and a number behind one that is there already.
fn file_names(blanks: &[Blank]) -> Vec<String> {
    /// Longer names are cut.
    const LONGEST: usize = 80;
    let mut names: Vec<String> = Vec::new();
    for blank in blanks {
        let kept = blank.part.chars().take(LONGEST);
        let plain: String = kept
            .map(|sign| {
                let fine = sign.is_ascii_alphanumeric() || matches!(sign, '-' | '_');
                if fine { sign } else { '-' }
            })
            .collect();
        // some file systems do not tell capitals from small letters
        let taken = |name: &str| names.iter().any(|other| other.eq_ignore_ascii_case(name));
        let mut name = plain.clone();
        let mut count = 2;
        while taken(&name) {
            name = format!("{plain}-{count}");
            count += 1;
        }
        names.push(name);
    }
    names
}
