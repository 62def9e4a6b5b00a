import { mount } from "svelte";
import App from "./App.svelte";
import "./look/tokens.css";
import "./look/look.css";
import "./look/app.css";
import { look } from "./look/choice.svelte.ts";
import { standOnKeyboard } from "./look/keyboard.ts";
import { phone } from "./phone.svelte.ts";
import { updates } from "./updates.svelte.ts";

look.apply();
standOnKeyboard();
mount(App, { target: document.getElementById("app")! });
// First what is on the screen, then the app for the next time, then the engine.
phone.start(updates.start());
