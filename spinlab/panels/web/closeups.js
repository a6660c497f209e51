// Scenes that have a drawing of their own.

import { impact } from "./impact.js";
import { stopping } from "./stopping.js";

export const closeUps = { impact, stopping };
