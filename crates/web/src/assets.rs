//! Files inside the binary: the look's own style sheets and sign.

use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};

/// One file.
#[derive(Clone, Copy)]
pub(crate) struct Asset {
    kind: &'static str,
    text: &'static str,
}

pub(crate) const TOKENS: Asset = Asset {
    kind: "text/css; charset=utf-8",
    text: include_str!("../assets/tokens.css"),
};
pub(crate) const PAPER: Asset = Asset {
    kind: "text/css; charset=utf-8",
    text: include_str!("../assets/paper.css"),
};
pub(crate) const SIGN: Asset = Asset {
    kind: "image/svg+xml",
    text: include_str!("../assets/partpledge.svg"),
};

impl IntoResponse for Asset {
    fn into_response(self) -> Response {
        let headers = [(CONTENT_TYPE, self.kind), (CACHE_CONTROL, "max-age=3600")];
        (headers, self.text).into_response()
    }
}
