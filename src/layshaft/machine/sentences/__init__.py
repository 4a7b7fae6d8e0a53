"""Every sentence a machine file can be refused with: what is wrong, where, what to write instead."""
