import { mount } from "svelte";
import "/work/shared/design/look/look.css";
import One from "./One.svelte";
mount(One, { target: document.getElementById("app")! });
