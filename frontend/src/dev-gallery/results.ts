import { mount } from "svelte";
import "../look/tokens.css";
import "../look/look.css";
import "../look/app.css";
import Results from "./Results.svelte";
mount(Results, { target: document.getElementById("app")! });
