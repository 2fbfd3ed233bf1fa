//! Where the region's grid lies on the globe.

use serde::{Deserialize, Serialize};

use super::RegionFileError;

/// The middle of the schools' grid on the globe, WGS 84.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Origin {
    /// North of the equator, degrees.
    pub lat_deg: f64,
    /// East of Greenwich, degrees.
    pub lon_deg: f64,
}

/// Mean radius of the Earth, km: (2a + b) / 3 of GRS 80 (Moritz 1980, from memory).
const EARTH_RADIUS_KM: f64 = 6_371.008_8;

impl Origin {
    /// Longitude and latitude, in that order, of a place so far east and north of the middle.
    ///
    /// # Units
    /// km in, degrees out.
    /// # Source
    /// Equirectangular projection with its standard parallel through the middle, turned round
    /// (Snyder 1987, USGS Professional Paper 1395, chapter 12, from memory). At 50 km from a
    /// middle at 45 degrees it is off by less than 0.5 km (derived here).
    ///
    /// ```
    /// let origin = partpledge_catalogue::region::Origin { lat_deg: 60.0, lon_deg: 10.0 };
    /// let [lon, lat] = origin.lon_lat_deg(55.6, 111.195);
    /// assert!((lon - 11.0).abs() < 1e-3 && (lat - 61.0).abs() < 1e-3);
    /// ```
    #[must_use]
    pub fn lon_lat_deg(&self, x_km: f64, y_km: f64) -> [f64; 2] {
        let one_deg_km = EARTH_RADIUS_KM.to_radians();
        let narrower = self.lat_deg.to_radians().cos();
        [
            self.lon_deg + x_km / (one_deg_km * narrower),
            self.lat_deg + y_km / one_deg_km,
        ]
    }

    pub(super) fn check(&self) -> Result<(), RegionFileError> {
        let fits = self.lat_deg.abs() <= 85.0 && self.lon_deg.abs() <= 180.0;
        let (who, what) = ("origin".to_owned(), "lat_deg or lon_deg");
        fits.then_some(())
            .ok_or(RegionFileError::OutOfRange { who, what })
    }
}
