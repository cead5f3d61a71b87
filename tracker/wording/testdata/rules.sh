#!/bin/sh
# How rules.soaktag was made, B being the soaktag of before marks had typed rules.
$B log 1 2 4 5 --stage glue-up --at "2026-02-01 10:00"
$B log 1 --stage "clamp removal" --at "2026-02-01 16:00" --yes --reason "clamps were needed"          # clamp early
$B log 2 4 5 --stage "clamp removal" --at "2026-02-02 10:00"
$B log 1 --stage immersion --at "2026-02-03 10:00" --yes --reason "a slip, it was taken out at once"    # wrong stage
$B log 2 --stage immersion --at "2026-02-16 10:00"
$B log 2 --stage immersion --at "2026-02-17 10:00" --yes --reason "moved to the front of the bath"      # repeated
$B log 5 --stage lift-out --at "2026-02-23 09:00" --yes --reason "went in with the others, not scanned" # out of order
$B log 2 --stage lift-out --at "2026-02-25 18:00" --yes --reason "nobody was there"                     # soak late
$B break 2 --reading "28 MPa" --rig press --ended separated --at "2026-02-25 20:00" --state wet --yes --reason "read again, it is so"  # over the gauge, wet hold late
$B log 2 --stage lost --at "2026-02-26 09:00" --yes --reason "swept up"                                 # after the break
$B log 4 --stage lost --at "2026-02-26 09:00"
$B break 4 --reading "9 MPa" --rig press --ended separated --at "2026-02-26 10:00" --yes --reason "found behind the press" # was lost
$B log KPT-099-5 --stage glue-up --at "2026-02-01 10:00" --yes --reason "another study's"
$B log 5 --stage found --at "2026-02-26 11:00"                                                          # not lost: left open
$B measure 5 bond_length="4.0 mm" --at "2026-02-26 12:00" --yes --reason "sawn short"                   # bond size
$B accept --rule "out of order" --reason "all of them" 
