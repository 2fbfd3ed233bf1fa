//! The reader of the data files, and what it refuses.

use partpledge_units::cast::int_f64;
use partpledge_units::money::MoneyError;
use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::class::{PrinterClass, ROOM_C};
use crate::material::Material;
use crate::sheet::ProcessSheet;

/// Every material, sheet and printer class known, in the order of the files.
#[derive(Clone, Debug, PartialEq)]
pub struct Catalogue {
    /// Materials.
    pub materials: Vec<Material>,
    /// Process sheets; the first of a material is its plain one.
    pub sheets: Vec<ProcessSheet>,
    /// Printer classes.
    pub classes: Vec<PrinterClass>,
}

/// Which rule of the data files is broken, and where.
///
/// 1. Each file is TOML with the fields of its kind and no others. 2. Each lists at least one
///    entry. 3. A code comes once. 4. Materials that a sheet or class names are there.
/// 5. Each number is in its range. 6. Every material and class has a price.
/// 7. The currency is a code of ISO 4217, and `decimals` are the digits that it has there.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CatalogueError {
    /// Rule 1; the reader's own words say where.
    #[error("{file}: {message}")]
    Syntax {
        /// `materials`, `sheets`, `printer-classes` or `costs`.
        file: &'static str,
        /// What the reader met, with line and column.
        message: String,
    },
    /// Rule 2.
    #[error("{file}: there is no entry")]
    Empty {
        /// Which file.
        file: &'static str,
    },
    /// Rule 3.
    #[error("{file}: code '{code}' comes twice")]
    Duplicate {
        /// Which file.
        file: &'static str,
        /// The repeated code.
        code: String,
    },
    /// Rule 4.
    #[error("{file}: '{code}' names material '{material}', which is not in the materials")]
    UnknownMaterial {
        /// Which file.
        file: &'static str,
        /// The entry that names it.
        code: String,
        /// The material it names.
        material: String,
    },
    /// Rule 6.
    #[error("{file}: there is no price for '{code}'")]
    NoPrice {
        /// Which file.
        file: &'static str,
        /// The material or class without a price.
        code: String,
    },
    /// Rule 7.
    #[error("{file}: {0}", file = "costs")]
    Currency(#[from] MoneyError),
    /// Rule 5.
    #[error("{file}: '{code}' has {field} = {value}; it must be from {low} to {high}")]
    OutOfRange {
        /// Which file.
        file: &'static str,
        /// The entry.
        code: String,
        /// Its field.
        field: &'static str,
        /// The rejected value.
        value: f64,
        /// Least value allowed.
        low: f64,
        /// Greatest value allowed.
        high: f64,
    },
}

impl CatalogueError {
    /// A stable word for programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Syntax { .. } => "catalogue-syntax",
            Self::Empty { .. } => "catalogue-empty",
            Self::Duplicate { .. } => "catalogue-duplicate",
            Self::UnknownMaterial { .. } => "catalogue-unknown-material",
            Self::NoPrice { .. } => "catalogue-no-price",
            Self::Currency(_) => "catalogue-currency",
            Self::OutOfRange { .. } => "catalogue-out-of-range",
        }
    }
}

/// Drying stays this far under the glass transition, °C. Common practice, no source.
const DRYING_MARGIN_C: f64 = 10.0;

const MATERIALS: &str = "materials";
const SHEETS: &str = "sheets";
const CLASSES: &str = "printer-classes";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MaterialsFile {
    #[serde(default)]
    material: Vec<Material>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SheetsFile {
    #[serde(default)]
    sheet: Vec<ProcessSheet>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ClassesFile {
    #[serde(default)]
    class: Vec<PrinterClass>,
}

impl Catalogue {
    /// The catalogue that ships with the program.
    ///
    /// # Panics
    /// Never in a tested build: the built-in files are read by a test.
    ///
    /// ```
    /// let catalogue = partpledge_catalogue::Catalogue::built_in();
    /// assert_eq!(catalogue.plain_sheet("PLA").unwrap().code, "pla-plain");
    /// ```
    #[must_use]
    pub fn built_in() -> Self {
        Self::parse(
            include_str!("../data/materials.toml"),
            include_str!("../data/sheets.toml"),
            include_str!("../data/printer-classes.toml"),
        )
        .expect("the built-in data files are read by a test")
    }

    /// Reads the three files and checks them.
    ///
    /// # Errors
    /// The first broken rule of [`CatalogueError`], in the order of the arguments.
    pub fn parse(materials: &str, sheets: &str, classes: &str) -> Result<Self, CatalogueError> {
        let catalogue = Self {
            materials: toml_file::<MaterialsFile>(MATERIALS, materials)?.material,
            sheets: toml_file::<SheetsFile>(SHEETS, sheets)?.sheet,
            classes: toml_file::<ClassesFile>(CLASSES, classes)?.class,
        };
        check_codes(
            MATERIALS,
            catalogue.materials.iter().map(|m| m.code.as_str()),
        )?;
        check_codes(SHEETS, catalogue.sheets.iter().map(|s| s.code.as_str()))?;
        check_codes(CLASSES, catalogue.classes.iter().map(|c| c.code.as_str()))?;
        catalogue.materials.iter().try_for_each(check_material)?;
        for sheet in &catalogue.sheets {
            catalogue.check_known(SHEETS, &sheet.code, &sheet.material)?;
            check_sheet(sheet)?;
        }
        for class in &catalogue.classes {
            for material in &class.materials {
                catalogue.check_known(CLASSES, &class.code, material)?;
            }
            check_class(class)?;
        }
        Ok(catalogue)
    }

    /// The material with that code.
    #[must_use]
    pub fn material(&self, code: &str) -> Option<&Material> {
        self.materials.iter().find(|material| material.code == code)
    }

    /// The sheet with that code.
    #[must_use]
    pub fn sheet(&self, code: &str) -> Option<&ProcessSheet> {
        self.sheets.iter().find(|sheet| sheet.code == code)
    }

    /// The printer class with that code.
    #[must_use]
    pub fn class(&self, code: &str) -> Option<&PrinterClass> {
        self.classes.iter().find(|class| class.code == code)
    }

    /// The sheet used for a material unless another is asked for: its first.
    #[must_use]
    pub fn plain_sheet(&self, material_code: &str) -> Option<&ProcessSheet> {
        self.sheets
            .iter()
            .find(|sheet| sheet.material == material_code)
    }

    fn check_known(
        &self,
        file: &'static str,
        code: &str,
        material: &str,
    ) -> Result<(), CatalogueError> {
        if self.material(material).is_some() {
            return Ok(());
        }
        let (code, material) = (code.to_owned(), material.to_owned());
        Err(CatalogueError::UnknownMaterial {
            file,
            code,
            material,
        })
    }
}

pub(crate) fn toml_file<T: DeserializeOwned>(
    file: &'static str,
    text: &str,
) -> Result<T, CatalogueError> {
    toml::from_str(text).map_err(|error| CatalogueError::Syntax {
        file,
        message: error.to_string(),
    })
}

pub(crate) fn check_codes<'a>(
    file: &'static str,
    codes: impl Iterator<Item = &'a str>,
) -> Result<(), CatalogueError> {
    let mut seen = std::collections::BTreeSet::new();
    for code in codes {
        if !seen.insert(code) {
            return Err(CatalogueError::Duplicate {
                file,
                code: code.to_owned(),
            });
        }
    }
    if seen.is_empty() {
        Err(CatalogueError::Empty { file })
    } else {
        Ok(())
    }
}

/// Name, value, least, greatest.
pub(crate) type Range = (&'static str, f64, f64, f64);

pub(crate) fn check_ranges(
    file: &'static str,
    code: &str,
    ranges: &[Range],
) -> Result<(), CatalogueError> {
    for &(field, value, low, high) in ranges {
        // Written so that NaN, which TOML can spell, is out of every range.
        if !(value >= low && value <= high) {
            let code = code.to_owned();
            return Err(CatalogueError::OutOfRange {
                file,
                code,
                field,
                value,
                low,
                high,
            });
        }
    }
    Ok(())
}

fn check_material(material: &Material) -> Result<(), CatalogueError> {
    let [density_low, density_high] = material.density_range_g_cm3;
    let [nozzle_low, nozzle_high] = material.nozzle_range_c;
    let [bed_low, bed_high] = material.bed_range_c;
    let ranges = [
        ("density_range_g_cm3[0]", density_low, 0.5, 10.0),
        ("density_range_g_cm3[1]", density_high, density_low, 10.0),
        (
            "density_g_cm3",
            material.density_g_cm3,
            density_low,
            density_high,
        ),
        ("nozzle_range_c[0]", nozzle_low, 100.0, 500.0),
        ("nozzle_range_c[1]", nozzle_high, nozzle_low, 500.0),
        ("nozzle_c", material.nozzle_c, nozzle_low, nozzle_high),
        ("bed_range_c[0]", bed_low, 0.0, 250.0),
        ("bed_range_c[1]", bed_high, bed_low, 250.0),
        ("bed_c", material.bed_c, bed_low, bed_high),
    ];
    check_ranges(MATERIALS, &material.code, &ranges)?;
    check_strength(material)?;
    check_drying(material)
}

fn check_strength(material: &Material) -> Result<(), CatalogueError> {
    let strength = &material.strength;
    let [mpa_low, mpa_high] = strength.in_plane_mpa;
    let [ratio_low, ratio_high] = strength.across_ratio;
    let [young_low, young_high] = strength.young_gpa;
    let [soft_low, soft_high] = strength.glass_transition_c;
    let ranges = [
        ("strength.in_plane_mpa[0]", mpa_low, 1.0, 500.0),
        ("strength.in_plane_mpa[1]", mpa_high, mpa_low, 500.0),
        ("strength.across_ratio[0]", ratio_low, 0.05, 1.0),
        ("strength.across_ratio[1]", ratio_high, ratio_low, 1.0),
        ("strength.young_gpa[0]", young_low, 0.001, 100.0),
        ("strength.young_gpa[1]", young_high, young_low, 100.0),
        ("strength.glass_transition_c[0]", soft_low, -100.0, 300.0),
        ("strength.glass_transition_c[1]", soft_high, soft_low, 300.0),
    ];
    check_ranges(MATERIALS, &material.code, &ranges)
}

/// Drying must not soften the filament on its spool; what is soft at room temperature can't.
fn check_drying(material: &Material) -> Result<(), CatalogueError> {
    let [low_c, high_c] = material.drying.temperature_c;
    let [short_h, long_h] = material.drying.hours;
    let damp_days = material.drying.damp_after_days.unwrap_or(1.0);
    let softens_c = material.strength.glass_transition_c[0];
    let hottest_c = if softens_c > ROOM_C {
        softens_c - DRYING_MARGIN_C
    } else {
        material.nozzle_range_c[0]
    };
    let ranges = [
        ("drying.temperature_c[0]", low_c, 30.0, hottest_c),
        ("drying.temperature_c[1]", high_c, low_c, hottest_c),
        ("drying.hours[0]", short_h, 0.5, 48.0),
        ("drying.hours[1]", long_h, short_h, 48.0),
        ("drying.damp_after_days", damp_days, 0.5, 365.0),
    ];
    check_ranges(MATERIALS, &material.code, &ranges)
}

fn check_sheet(sheet: &ProcessSheet) -> Result<(), CatalogueError> {
    let width = sheet.line_width_mm;
    let ranges = [
        ("layer_height_mm", sheet.layer_height_mm, 0.02, 2.0),
        (
            "first_layer_height_mm",
            sheet.first_layer_height_mm,
            0.02,
            2.0,
        ),
        // A bead narrower than high has no stadium shape.
        (
            "line_width_mm",
            width,
            sheet.layer_height_mm.max(sheet.first_layer_height_mm),
            5.0,
        ),
        (
            "line_spacing_mm",
            sheet.line_spacing_mm.unwrap_or(width),
            0.3 * width,
            2.0 * width,
        ),
        ("walls", f64::from(sheet.walls), 0.0, 50.0),
        ("top_skins", f64::from(sheet.top_skins), 0.0, 200.0),
        ("bottom_skins", f64::from(sheet.bottom_skins), 0.0, 200.0),
        ("infill_percent", sheet.infill_percent, 0.0, 100.0),
        ("wall_speed_mm_s", sheet.wall_speed_mm_s, 1.0, 2000.0),
        ("skin_speed_mm_s", sheet.skin_speed_mm_s, 1.0, 2000.0),
        ("infill_speed_mm_s", sheet.infill_speed_mm_s, 1.0, 2000.0),
        (
            "first_layer_speed_mm_s",
            sheet.first_layer_speed_mm_s,
            1.0,
            2000.0,
        ),
        ("max_flow_mm3_s", sheet.max_flow_mm3_s, 0.1, 1000.0),
        ("min_layer_time_s", sheet.min_layer_time_s, 0.0, 600.0),
        ("pull_back_from_mm", sheet.pull_back_from_mm, 0.0, 1000.0),
        ("pull_back_s", sheet.pull_back_s, 0.0, 60.0),
        ("overhang_limit_deg", sheet.overhang_limit_deg, 0.0, 90.0),
        ("bridge_limit_mm", sheet.bridge_limit_mm, 0.0, 1000.0),
        ("shelf_limit_mm", sheet.shelf_limit_mm, 0.0, 1000.0),
        ("bridge_speed_mm_s", sheet.bridge_speed_mm_s, 1.0, 2000.0),
        ("support_speed_mm_s", sheet.support_speed_mm_s, 1.0, 2000.0),
        ("support_percent", sheet.support_percent, 0.0, 100.0),
        (
            "support_roof_layers",
            f64::from(sheet.support_roof_layers),
            0.0,
            50.0,
        ),
        (
            "support_gap_layers",
            f64::from(sheet.support_gap_layers),
            0.0,
            50.0,
        ),
        ("support_side_gap_mm", sheet.support_side_gap_mm, 0.0, 20.0),
        ("brim_lines", f64::from(sheet.brim_lines), 0.0, 200.0),
    ];
    check_ranges(SHEETS, &sheet.code, &ranges)
}

fn check_class(class: &PrinterClass) -> Result<(), CatalogueError> {
    let [x, y, z] = class.bed_mm;
    let ranges = [
        ("bed_mm[0]", x, 10.0, 5000.0),
        ("bed_mm[1]", y, 10.0, 5000.0),
        ("bed_mm[2]", z, 10.0, 5000.0),
        ("nozzle_bore_mm", class.nozzle_bore_mm, 0.1, 5.0),
        ("accel_mm_s2", class.accel_mm_s2, 10.0, 100_000.0),
        ("corner_deviation_mm", class.corner_deviation_mm, 0.0, 1.0),
        ("max_speed_mm_s", class.max_speed_mm_s, 1.0, 2000.0),
        ("travel_speed_mm_s", class.travel_speed_mm_s, 1.0, 2000.0),
        ("max_flow_mm3_s", class.max_flow_mm3_s, 0.1, 1000.0),
        ("layer_change_s", class.layer_change_s, 0.0, 60.0),
        (
            "nozzle_heat_c_per_s",
            class.nozzle_heat_c_per_s,
            0.01,
            100.0,
        ),
        ("bed_heat_c_per_s", class.bed_heat_c_per_s, 0.01, 100.0),
        ("nozzle_max_c", class.nozzle_max_c, 100.0, 600.0),
        ("bed_max_c", class.bed_max_c, 0.0, 300.0),
        ("levelling_s", class.levelling_s, 0.0, 3600.0),
        ("rated_power_w", class.rated_power_w, 10.0, 10_000.0),
        ("time_sigma", class.time_sigma, 0.0, 1.0),
        ("change_min", int_f64(class.change_min), 0.0, 240.0),
    ];
    check_ranges(CLASSES, &class.code, &ranges)?;
    let Some(carriage) = class.carriage else {
        return Ok(());
    };
    let ranges = [
        ("carriage.above_mm", carriage.above_mm, 0.0, 5000.0),
        ("carriage.gap_mm", carriage.gap_mm, 0.0, 900.0),
    ];
    check_ranges(CLASSES, &class.code, &ranges)
}

#[cfg(test)]
mod tests;
