/* One player for the whole page: what is played ends what was played before. */

const player = new Audio();
let ended = () => {};

const end = () => {
  ended();
  ended = () => {};
};

export const stop = () => {
  player.pause();
  end();
};

/** Play a clip, or stop it where it plays already; `whenEnded` is called at its end, however that comes. */
export const play = (address, whenEnded = () => {}) => {
  const playing = player.dataset.clip === address && !player.paused;
  stop();
  if (playing) return false;
  player.src = player.dataset.clip = address;
  ended = whenEnded;
  player.play().catch(end);
  return true;
};

player.addEventListener("ended", end);
