### common

common-and = { $before } und { $last }
common-bold-html = <b>{ $text }</b>
