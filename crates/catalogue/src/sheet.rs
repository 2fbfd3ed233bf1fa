//! Process sheets: how a material is laid down, layer by layer.

use serde::Deserialize;

/// How the lines of the infill run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum InfillPattern {
    /// One direction a layer, turned by 90° from layer to layer.
    Crossed,
    /// Three directions in every layer, 60° apart.
    ThreeWay,
}

/// Layer height, line width, walls, skins, infill and speeds for a material.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProcessSheet {
    /// Short code: `pla-plain`, `petg-fine`.
    pub code: String,
    /// Code of the material it is for.
    pub material: String,
    /// In words.
    pub name: String,
    /// Height of every layer but the first, mm.
    pub layer_height_mm: f64,
    /// Height of the first layer, mm.
    pub first_layer_height_mm: f64,
    /// Width of a laid line, mm; at least as wide as a layer is high.
    pub line_width_mm: f64,
    /// Distance between the middles of neighbouring lines, mm. Without it lines are laid so
    /// that no void is left: `w - h(1 - pi/4)`.
    #[serde(default)]
    pub line_spacing_mm: Option<f64>,
    /// Lines around each outline.
    pub walls: u32,
    /// Solid layers under every upper surface.
    pub top_skins: u32,
    /// Solid layers over every lower surface.
    pub bottom_skins: u32,
    /// How much of the inside is filled, 0 to 100 % of solid.
    pub infill_percent: f64,
    /// How the lines of the infill run.
    pub infill_pattern: InfillPattern,
    /// Speed of walls, mm/s.
    pub wall_speed_mm_s: f64,
    /// Speed of solid skins, mm/s.
    pub skin_speed_mm_s: f64,
    /// Speed of infill, mm/s.
    pub infill_speed_mm_s: f64,
    /// Speed of lines that span air, mm/s.
    pub bridge_speed_mm_s: f64,
    /// Speed of support, mm/s.
    pub support_speed_mm_s: f64,
    /// Speed of everything in the first layer, mm/s.
    pub first_layer_speed_mm_s: f64,
    /// Most material a second that this filament takes, mm³/s.
    pub max_flow_mm3_s: f64,
    /// A layer takes at least this long, s, so that the one below has set.
    pub min_layer_time_s: f64,
    /// Moves without a line longer than this pull the filament back first, mm.
    pub pull_back_from_mm: f64,
    /// Time to pull the filament back and to push it forward again, s.
    pub pull_back_s: f64,
    /// Steepest overhang that needs no support, degrees from vertical.
    pub overhang_limit_deg: f64,
    /// Longest bridge that is laid without support below and without a warning, mm.
    pub bridge_limit_mm: f64,
    /// Farthest that a flat ledge may stick out without support, mm.
    pub shelf_limit_mm: f64,
    /// How much of a support column is plastic, 0 to 100 % of solid.
    pub support_percent: f64,
    /// Uppermost layers of a support column that are laid three times as dense.
    pub support_roof_layers: u32,
    /// Layers left open between support and part, so that it comes off.
    pub support_gap_layers: u32,
    /// Gap between support and the sides of the part, mm.
    pub support_side_gap_mm: f64,
    /// Lines round the foot of the part in the first layer, so that it holds on.
    pub brim_lines: u32,
}
