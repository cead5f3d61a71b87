package ical

// Nothing is a calendar of nothing to be done, for whoever subscribed to one: a
// file must hold at least one component (3.6), so it holds the zone that all times
// are written in.
const Nothing = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//soaktag//soaktag//EN\r\n" +
	"BEGIN:VTIMEZONE\r\nTZID:Etc/UTC\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\n" +
	"TZOFFSETFROM:+0000\r\nTZOFFSETTO:+0000\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\nEND:VCALENDAR\r\n"
