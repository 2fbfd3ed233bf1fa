//! A small agent: numbers what a machine says, and answers as the standard has it.

use partpledge_units::time::EventMs;

pub(crate) struct Agent {
    instance: i64,
    /// Number, time, element, text.
    heard: Vec<(i64, EventMs, String, String)>,
    next: i64,
    first: i64,
    pub(crate) clock_off_ms: i64,
}

/// RFC 3339 with a fraction.
fn time(at: EventMs) -> String {
    let whole = partpledge_units::local::rfc3339_utc(EventMs(at.0.div_euclid(1_000) * 1_000));
    format!(
        "{}.{:03}Z",
        whole.trim_end_matches('Z'),
        at.0.rem_euclid(1_000)
    )
}

impl Agent {
    pub(crate) fn new() -> Self {
        Self {
            instance: 11,
            heard: Vec::new(),
            next: 1,
            first: 1,
            clock_off_ms: 0,
        }
    }

    pub(crate) fn says(&mut self, at: EventMs, element: &str, text: &str) {
        let row = (self.next, at, element.to_owned(), text.to_owned());
        self.heard.push(row);
        self.next += 1;
    }

    /// Begins anew: its numbers too, and it knows nothing.
    pub(crate) fn restarts(&mut self) {
        self.instance += 1;
        self.heard.clear();
        (self.first, self.next) = (1, 1);
    }

    /// Begins anew, and says that it is the same.
    pub(crate) fn counts_again(&mut self) {
        self.heard.clear();
        (self.first, self.next) = (1, 1);
    }

    /// Its buffer has room for the last one only.
    pub(crate) fn forgets_all_but_one(&mut self) {
        self.next += 10;
        if let Some(last) = self.heard.last_mut() {
            last.0 = self.next - 1;
        }
        self.first = self.next - 1;
    }

    pub(crate) fn answers(&self, address: &str, now: EventMs) -> Vec<u8> {
        let now = time(EventMs(now.0 + self.clock_off_ms));
        let (_, question) = address.split_once(":5000/").unwrap();
        let header = format!(
            "<Header creationTime=\"{now}\" instanceId=\"{}\" bufferSize=\"100\" \
             firstSequence=\"{}\" nextSequence=\"{}\" lastSequence=\"{}\"/>",
            self.instance,
            self.first,
            self.next,
            self.next - 1
        );
        let from = question.strip_prefix("sample?from=");
        let from = from.map(|rest| rest.split('&').next().unwrap().parse::<i64>().unwrap());
        if from.is_some_and(|from| from < self.first || from > self.next) {
            return format!(
                "<MTConnectError>{header}<Errors><Error errorCode=\"OUT_OF_RANGE\">x</Error>\
                 </Errors></MTConnectError>"
            )
            .into_bytes();
        }
        let mut heard: Vec<_> = self.heard.iter().collect();
        match from {
            Some(from) => heard.retain(|one| (self.first.max(from)..).contains(&one.0)),
            // The last of each kind.
            None => {
                let all = heard.clone();
                heard.retain(|one| !all.iter().any(|other| other.2 == one.2 && other.0 > one.0));
            }
        }
        let one = |(n, at, element, text): &(i64, EventMs, String, String)| {
            let at = time(*at);
            format!(
                "<{element} dataItemId=\"{element}-1\" sequence=\"{n}\" timestamp=\"{at}\">{text}\
                 </{element}>"
            )
        };
        let events: String = heard.into_iter().map(one).collect();
        format!(
            "<?xml version=\"1.0\"?><MTConnectStreams xmlns=\"urn:mtconnect.org:MTConnectStreams:1.4\">\
             {header}<Streams><DeviceStream name=\"p\" uuid=\"u\"><ComponentStream component=\"Path\">\
             <Events>{events}</Events></ComponentStream></DeviceStream></Streams></MTConnectStreams>"
        )
        .into_bytes()
    }
}
