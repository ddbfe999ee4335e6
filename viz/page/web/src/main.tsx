import { render } from "preact";
import { App } from "./app";
import { putLook } from "./look";
import { putColours } from "./shapes";
import { catalogue, start } from "./state";
import { language, speak } from "./texts";
import "./style.css";

speak(language.value);
putLook();
catalogue.subscribe((known) => {
  if (known) putColours(known);
});
render(<App />, document.getElementById("page")!);
void start();
