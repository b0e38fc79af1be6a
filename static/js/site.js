// Everything here is a convenience: each page does its job without it.
import { offerThemes } from "./theme.js";
import { offerTickingAll } from "./tick_all.js";
import { readNumbersBack } from "./read_back.js";
import { showProgress } from "./job_progress.js";
import { submitOnce } from "./submit_once.js";

offerThemes(document);
offerTickingAll(document);
readNumbersBack(document);
showProgress(document);
submitOnce(document);
document.querySelector(".error-summary")?.focus();
