### entry
