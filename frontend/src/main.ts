import { mount } from "svelte";
import App from "./App.svelte";
import "./look/tokens.css";
import "./look/look.css";
import "./look/app.css";
import { look } from "./look/choice.svelte.ts";
import { phone } from "./phone.svelte.ts";

look.apply();
mount(App, { target: document.getElementById("app")! });
phone.start(new Promise((resolve) => addEventListener("load", resolve)));
