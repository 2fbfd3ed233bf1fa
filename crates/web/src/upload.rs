//! A form with files, read with a bound on what it may hold.

use std::time::Duration;

use axum::extract::Multipart;
use axum::extract::multipart::MultipartError;
use bytes::{Bytes, BytesMut};
use tokio::time::timeout;

/// What one sending may hold: files and fields together.
pub(crate) const MOST_BYTES: usize = 100_000_000;
/// What is read and thrown away of a sending that is too large, so that the answer is seen: a
/// browser that is cut off shows its own error and not ours.
const DRAINED_BYTES: usize = 1_000_000_000;
/// Longest value of a field that is not a file.
const LONGEST_FIELD: usize = 2_000;
/// Most files in one sending.
const MOST_FILES: usize = 20;

/// How long nothing may come, and how long all of it may take: who sends holds a turn that others
/// wait for. Ten minutes are 100 MB at 1.3 Mbit/s. Common practice, no source.
const PATIENCE: Patience = Patience {
    silence: Duration::from_secs(20),
    all: Duration::from_mins(10),
};

#[derive(Clone, Copy)]
struct Patience {
    silence: Duration,
    all: Duration,
}

/// A form as it was sent.
#[derive(Debug, Default)]
pub(crate) struct Form {
    fields: Vec<(String, String)>,
    /// Files that were chosen, by name.
    pub(crate) files: Vec<(String, Bytes)>,
}

/// Why a form was not taken.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum FormError {
    /// More than [`MOST_BYTES`].
    TooLarge,
    /// A field longer than [`LONGEST_FIELD`].
    TooLong,
    /// More than [`MOST_FILES`] files.
    TooMany,
    /// Broken off, or no form at all.
    Broken,
    /// It did not come in time.
    TooSlow,
}

impl Form {
    /// The value of a field; empty when it was not sent.
    pub(crate) fn get(&self, name: &str) -> &str {
        let mut found = self.fields.iter().filter(|(known, _)| known == name);
        found.next().map_or("", |(_, value)| value.as_str())
    }

    /// Reads a form. Memory stays below [`MOST_BYTES`] however much comes, and it ends however
    /// slowly that comes.
    pub(crate) async fn read(parts: Multipart) -> Result<Self, FormError> {
        Self::read_within(parts, PATIENCE).await
    }

    async fn read_within(parts: Multipart, patience: Patience) -> Result<Self, FormError> {
        let reading = timeout(patience.all, Self::read_all(parts, patience.silence));
        reading.await.unwrap_or(Err(FormError::TooSlow))
    }

    async fn read_all(mut parts: Multipart, silence: Duration) -> Result<Self, FormError> {
        let mut out = Self::default();
        let (mut sum, mut failed) = (0_usize, None);
        while let Some(mut part) = soon(silence, parts.next_field()).await? {
            let name = part.name().unwrap_or_default().to_owned();
            let file = part.file_name().map(str::to_owned);
            let mut value = BytesMut::new();
            while let Some(chunk) = soon(silence, part.chunk()).await? {
                sum += chunk.len();
                let long = file.is_none() && value.len() + chunk.len() > LONGEST_FIELD;
                if sum > MOST_BYTES || long {
                    let why = if sum > MOST_BYTES {
                        FormError::TooLarge
                    } else {
                        FormError::TooLong
                    };
                    failed.get_or_insert(why);
                    out.files.clear();
                    value.clear();
                }
                if sum > DRAINED_BYTES {
                    return Err(FormError::TooLarge);
                }
                if failed.is_none() {
                    value.extend_from_slice(&chunk);
                }
            }
            match file {
                // A browser sends an empty part when no file was chosen.
                Some(file) if file.is_empty() && value.is_empty() => {}
                Some(file) => out.files.push((file, value.freeze())),
                None => {
                    let text = String::from_utf8_lossy(&value).into_owned();
                    out.fields.push((name, text));
                }
            }
            if out.files.len() > MOST_FILES {
                failed = Some(FormError::TooMany);
                out.files.clear();
            }
        }
        failed.map_or(Ok(out), Err)
    }
}

/// What comes next, if it comes soon.
async fn soon<T>(
    silence: Duration,
    next: impl Future<Output = Result<T, MultipartError>>,
) -> Result<T, FormError> {
    match timeout(silence, next).await {
        Ok(came) => came.map_err(|_| FormError::Broken),
        Err(_) => Err(FormError::TooSlow),
    }
}

#[cfg(test)]
mod tests {
    use axum::body::Body;
    use axum::extract::{FromRequest, Request};
    use futures_util::stream::unfold;
    use tokio::time::sleep;

    use super::*;

    const BEGIN: &str = "--sep\r\nContent-Disposition: form-data; name=\"file\"; \
                         filename=\"a.stl\"\r\n\r\n";

    /// A form that never ends, a letter of it every `ms`.
    async fn dripping(ms: u64) -> Multipart {
        let drops = unfold(0, move |i| async move {
            sleep(Duration::from_millis(ms)).await;
            let drop = if i == 0 { BEGIN } else { "x" };
            Some((Ok::<_, std::io::Error>(Bytes::from(drop)), i + 1))
        });
        let request = Request::builder()
            .header("content-type", "multipart/form-data; boundary=sep")
            .body(Body::from_stream(drops));
        Multipart::from_request(request.unwrap(), &())
            .await
            .unwrap()
    }

    #[tokio::test]
    async fn a_form_that_stops_coming_or_drips_is_given_up() {
        let patience = |silence, all| Patience {
            silence: Duration::from_millis(silence),
            all: Duration::from_millis(all),
        };
        let silent = Form::read_within(dripping(60_000).await, patience(50, 30_000)).await;
        assert_eq!(silent.unwrap_err(), FormError::TooSlow);
        let slow = Form::read_within(dripping(5).await, patience(30_000, 100)).await;
        assert_eq!(slow.unwrap_err(), FormError::TooSlow);
    }
}
