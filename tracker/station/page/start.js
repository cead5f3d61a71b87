// Everything is there: begin.
for (const part of [Sense, Who, Stage, Ways, Photo, Camera, Press, Measure, Places, UI, Phone]) part.start();
Queue.start();
