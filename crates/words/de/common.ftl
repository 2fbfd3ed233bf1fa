### common

common-and = { $before } und { $last }
common-bold-html = <b>{ $text }</b>

common-error-title = Fehler: { $title }
common-problem = Da stimmt etwas nicht
common-back = Zurück
