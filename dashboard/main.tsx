import { render } from "preact";
import { Page } from "./views/page.tsx";
import "uplot/dist/uPlot.min.css";
import "./style/paper.css";
import "./style/page.css";
import "./style/drawing.css";

const place = document.getElementById("evenbrine");
if (place !== null) render(<Page />, place);
