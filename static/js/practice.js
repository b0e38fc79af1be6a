// A problem in practice. Everything here is a convenience: the page does its job without it.
import { countTimeAway } from "./time_away.js";
import { offerSigns } from "./answer_signs.js";

countTimeAway(document);
offerSigns(document);
