// What hosts need: the scene and those who answer it.

import { mount as mountScene } from "./scene.js";
import { localEngine as local, remoteEngine as remote } from "./engine.js";

export const mount = mountScene;
export const localEngine = local;
export const remoteEngine = remote;
