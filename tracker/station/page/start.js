// Everything is there: begin.
for (const part of [Sense, Who, Stage, Ways, Photo, Press, Measure, Places, UI, Phone]) part.start();
Queue.start();
