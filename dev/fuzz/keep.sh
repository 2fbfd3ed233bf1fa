#!/usr/bin/env bash
# keep.sh TARGET FOLDER: takes 40 of the small files in FOLDER that reach something new into the
# committed corpus. FOLDER is what `-set_cover_merge=1` left; see docs/fuzzing.md.
set -euo pipefail
cd "$(dirname "$0")"
find "$2" -type f -size -600c | sort | head -40 | while read -r file; do
  cp "$file" "corpus/$1/found-$(basename "$file" | cut -c1-10)"
done
