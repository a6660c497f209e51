// Scenes that have a drawing of their own.

import { impact } from "./impact.js";

export const closeUps = { impact };
