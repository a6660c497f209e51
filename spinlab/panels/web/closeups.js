// How scenes are drawn: by generic marks, or by a drawing of their own.

import { plots } from "./plots.js";
import { impact } from "./impact.js";
import { stopping } from "./stopping.js";

export const closeUps = { plots, impact, stopping };
