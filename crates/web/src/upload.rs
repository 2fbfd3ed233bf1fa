//! A form with files, read with a bound on what it may hold.

use std::time::Duration;

use axum::extract::Multipart;
use axum::extract::multipart::MultipartError;
use bytes::{Bytes, BytesMut};
use tokio::time::{Instant, timeout};

/// What one sending may hold: files and fields together.
pub(crate) const MOST_BYTES: usize = 100_000_000;
/// What is read and thrown away of a sending that is too large, so that the answer is seen: a
/// browser that is cut off shows its own error and not ours.
const DRAINED_BYTES: usize = 1_000_000_000;
/// Longest value of a field that is not a file.
const LONGEST_FIELD: usize = 2_000;
/// Most files in one sending.
const MOST_FILES: usize = 20;

/// How long nothing may come, how long all of it may take, and how much must come meanwhile: who sends
/// holds a turn that others wait for. Ten minutes are 100 MB at 1.3 Mbit/s; a tenth of that, 128 kbit/s,
/// must come in every 15 seconds. Common practice, no source.
const PATIENCE: Patience = Patience {
    silence: Duration::from_secs(15),
    all: Duration::from_mins(10),
    window: Duration::from_secs(15),
    least_bytes_s: 16_000,
};

#[derive(Clone, Copy)]
struct Patience {
    silence: Duration,
    all: Duration,
    /// The rate is looked at each time that we have waited so long.
    window: Duration,
    least_bytes_s: usize,
}

/// How fast a form comes: bytes over the time that we waited for them, not over the time that we took.
struct Pace {
    patience: Patience,
    waited: Duration,
    bytes: usize,
}

impl Pace {
    fn new(patience: Patience) -> Self {
        Self {
            patience,
            waited: Duration::ZERO,
            bytes: 0,
        }
    }

    /// What comes next, if it comes soon and what came before it came fast enough.
    async fn next<T>(
        &mut self,
        next: impl Future<Output = Result<T, MultipartError>>,
        bytes: impl FnOnce(&T) -> usize,
    ) -> Result<T, FormError> {
        let begun = Instant::now();
        let came = timeout(self.patience.silence, next).await;
        let came = came.map_err(|_| FormError::TooSlow)?;
        let came = came.map_err(|_| FormError::Broken)?;
        let enough = self.fast_enough(begun.elapsed(), bytes(&came));
        enough.then_some(came).ok_or(FormError::TooSlow)
    }

    /// Whether what came so far came fast enough, with so many bytes more after such a wait.
    fn fast_enough(&mut self, waited: Duration, bytes: usize) -> bool {
        self.waited += waited;
        self.bytes += bytes;
        if self.waited < self.patience.window {
            return true;
        }
        let wanted = self.patience.least_bytes_s as f64 * self.waited.as_secs_f64();
        let enough = self.bytes as f64 >= wanted;
        (self.waited, self.bytes) = (Duration::ZERO, 0);
        enough
    }
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
        let reading = timeout(patience.all, Self::read_all(parts, Pace::new(patience)));
        reading.await.unwrap_or(Err(FormError::TooSlow))
    }

    async fn read_all(mut parts: Multipart, mut pace: Pace) -> Result<Self, FormError> {
        let mut out = Self::default();
        let (mut sum, mut failed) = (0_usize, None);
        while let Some(mut part) = pace.next(parts.next_field(), |_| 0).await? {
            let name = part.name().unwrap_or_default().to_owned();
            let file = part.file_name().map(str::to_owned);
            let mut value = BytesMut::new();
            let size = |chunk: &Option<Bytes>| chunk.as_ref().map_or(0, Bytes::len);
            while let Some(chunk) = pace.next(part.chunk(), size).await? {
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
            window: Duration::from_mins(1),
            least_bytes_s: 0,
        };
        let silent = Form::read_within(dripping(60_000).await, patience(50, 30_000)).await;
        assert_eq!(silent.unwrap_err(), FormError::TooSlow);
        let slow = Form::read_within(dripping(5).await, patience(30_000, 100)).await;
        assert_eq!(slow.unwrap_err(), FormError::TooSlow);
    }

    #[test]
    fn what_comes_too_slowly_is_given_up_though_it_is_never_silent() {
        let ms = Duration::from_millis;
        let mut pace = Pace::new(Patience {
            window: ms(100),
            least_bytes_s: 10_000,
            ..PATIENCE
        });
        // Nobody looks before the window is over; a thousand bytes in it are just enough.
        assert!(pace.fast_enough(ms(99), 0));
        assert!(pace.fast_enough(ms(1), 1_000));
        // What came fast before does not count for the next window, and a long wait wants more.
        assert!(pace.fast_enough(ms(50), 100_000));
        assert!(pace.fast_enough(ms(50), 0));
        assert!(pace.fast_enough(ms(99), 999));
        assert!(!pace.fast_enough(ms(1), 0));
        assert!(!pace.fast_enough(ms(200), 1_999));
        assert!(pace.fast_enough(ms(200), 2_000));
    }
}
