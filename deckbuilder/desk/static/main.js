/* The desk: every part of the page is started here. */
import { startBuild } from "./build.js";
import { startChanges } from "./changes.js";
import { startChoose } from "./choose.js";
import { startDrop } from "./drop.js";
import { startFields } from "./fields.js";
import { startNeck } from "./neck.js";
import { startNotice } from "./notice.js";
import { startNumbers } from "./numbers.js";
import { startRecipes } from "./recipes.js";
import { startSample } from "./sample.js";
import { startSpeech } from "./speech.js";
import { startViews } from "./views.js";
import { startWork } from "./work.js";

if (!startSpeech()) {
  startViews();
  startNotice();
  startDrop();
  startFields();
  startChoose();
  startNeck();
  startNumbers();
  startSample();
  startChanges();
  startRecipes();
  startBuild();
  startWork();
}
