### common

common-and = { $before } and { $last }

common-error-title = Error: { $title }
common-problem = There is a problem
common-back = Back
common-not-ours = That form was not ours.
common-to-region = To the region
common-team-part = { $whose } { $part }
common-as-written = { $text }
