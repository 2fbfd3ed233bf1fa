### common

common-and = { $before } and { $last }
common-bold-html = <b>{ $text }</b>
