### common

common-and = { $before } und { $last }

common-error-title = Fehler: { $title }
common-problem = Da stimmt etwas nicht
common-back = Zurück
common-not-ours = Dieses Formular war nicht von uns.
common-to-region = Zur Region
common-team-part = { $part } von { $whose }
common-as-written = { $text }
