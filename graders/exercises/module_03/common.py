"""What the exercises of module 03 share."""

MODULE = "03_reference_cell"
KIT = ("digital multimeter", "silver/silver-chloride cell", "water thermometer")
METERING = "Cell lead in COM, test lead in V, dial on 2 V, clip on the common bonding point, cell about a metre down and clear of the bed."
