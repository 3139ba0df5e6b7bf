import { contextBridge } from "electron";

/** All the window may know of the desktop: that it is in it. It talks to the host by requests, as in the browser. */
contextBridge.exposeInMainWorld("blademarkDesktop", true);
