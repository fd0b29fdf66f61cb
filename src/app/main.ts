import { mount } from "svelte";
import App from "./App.svelte";
import { registerOffline } from "./offline/register.ts";
import { follow, offer } from "./shell/changingOver.ts";
import { say } from "./state/notices.svelte.ts";
import { together } from "./state/share/together.svelte.ts";
import { studio } from "./state/studio.svelte.ts";
import "./styles/fonts.css";
import "./styles/tokens.css";
import "./styles/base.css";
import "./styles/tally.css";
import "./styles/lists.css";
import "./styles/ceiling.css";
import "./styles/shared.css";

const target = document.getElementById("studio");
if (target === null) throw new Error("index.html has no #studio");
mount(App, { target });

const started = studio.start(() => together.arrive()).then(() => together.follow());
started.catch((error: unknown) => {
  console.error(error);
  say("defect", "The studio could not start. Load the page again; if that does not help, open a job file.");
});

registerOffline(offer, () => void follow()).catch((error: unknown) => console.error(error));
