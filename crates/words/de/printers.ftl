### printers
