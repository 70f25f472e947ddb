// The page: shows the plant, and again at every new reading.

import { lost, refresh } from "./plant.js";

const events = new EventSource("events");
events.addEventListener("message", refresh);
events.addEventListener("error", lost);
