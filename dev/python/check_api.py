"""The programme interface asked by other people's libraries.

schemathesis (PyPI) asks every address with what its description allows and with what it does not:
no server error, every answer as described, every error application/problem+json (RFC 9457).
icalendar (PyPI) reads the calendars, shapely (PyPI) the places.

usage: check_api.py URL MINUTES ; URL is a server of the demo region that may be spoilt.
"""
import html
import http.cookiejar
import json
import os
import re
import subprocess
import sys
import urllib.parse
import urllib.request

import icalendar
import shapely.geometry

ROLES = ["student:Newt Works", "operator:brindlemoor", "coordinator"]

# Left out: a file of random bytes is all that the description asks for, and no part.
LEFT_OUT = "positive_data_acceptance"


def browser():
    jar = http.cookiejar.CookieJar()
    return urllib.request.build_opener(urllib.request.HTTPCookieProcessor(jar))


def form(opener, address, **fields):
    data = urllib.parse.urlencode(fields).encode()
    return opener.open(urllib.request.Request(address, data)).read().decode()


def tokens(url, role):
    """A program's token and a calendar's address, made on the pages as people do."""
    opener = browser()
    form(opener, f"{url}/try-as", who=role)
    found = []
    for kind in ["api", "feed"]:
        page = form(opener, f"{url}/account/tokens", name="check", kind=kind, role=role, days=2)
        found.append(re.search(r"pp_[0-9a-f]{64}", html.unescape(page)).group())
    return found[0], f"{url}/calendar/{found[1]}.ics"


def calendar(address):
    """Events of a calendar, once icalendar has read it and its lines are as RFC 5545 has them."""
    with urllib.request.urlopen(address) as answer:
        assert answer.headers["Content-Type"].startswith("text/calendar")
        text = answer.read()
    assert text.endswith(b"\r\n") and text.count(b"\n") == text.count(b"\r\n")
    assert all(len(line) <= 75 for line in text.split(b"\r\n")), "a line is not folded"
    read = icalendar.Calendar.from_ical(text)
    assert not read.errors
    events = list(read.walk("VEVENT"))
    for event in events:
        assert not event.errors and {"UID", "DTSTAMP", "DTSTART", "SEQUENCE"} <= set(event)
        assert event.decoded("DTEND") > event.decoded("DTSTART")
    uids = [str(event["UID"]) for event in events]
    assert len(set(uids)) == len(uids), "a UID is there twice"
    return sorted(uids)


def places(url, token):
    asked = urllib.request.Request(f"{url}/api/v1/places", headers={"Authorization": f"Bearer {token}"})
    with urllib.request.urlopen(asked) as answer:
        assert answer.headers["Content-Type"] == "application/geo+json"
        read = json.load(answer)
    assert read["type"] == "FeatureCollection"
    points = [shapely.geometry.shape(feature["geometry"]) for feature in read["features"]]
    assert points and all(p.is_valid and p.geom_type == "Point" for p in points)
    assert all(abs(p.x) <= 180 and abs(p.y) <= 90 for p in points)
    return len(points)


def attacked(url, role, token, seconds):
    """Whether schemathesis finds nothing, asking in a role for so long."""
    print(f"\n-- as {role}, {seconds} s", flush=True)
    folder = os.path.dirname(sys.executable)
    command = [
        os.path.join(folder, "schemathesis"), "run", f"{url}/api/v1/openapi.json",
        "-H", f"Authorization: Bearer {token}", "--max-time", str(seconds),
        "--exclude-checks", LEFT_OUT, "--suppress-health-check", "all", "--warnings", "off",
        "--continue-on-failure", "--seed", "1", "--request-timeout", "60",
    ]
    return subprocess.run(command, cwd="/tmp").returncode == 0


def main(url, minutes):
    made = [(role, *tokens(url, role)) for role in ROLES]
    for role, token, address in made:
        events = calendar(address)
        assert events == calendar(address), "a UID changed"
        print(f"{role}: {len(events)} events read by icalendar")
    print(f"{places(url, made[0][1])} places read by shapely")
    seconds = max(10, int(minutes * 60 / len(made)))
    good = [attacked(url, role, token, seconds) for role, token, _ in made]
    return 0 if all(good) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1].rstrip("/"), float(sys.argv[2])))
