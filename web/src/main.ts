import { mount } from "svelte";
import App from "./ui/App.svelte";
import "./look.css";

mount(App, { target: document.getElementById("app")! });

if ("serviceWorker" in navigator && !import.meta.env.DEV) void navigator.serviceWorker.register("/sw.js").catch(() => {});
