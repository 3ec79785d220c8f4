/* One player for the whole page: what is played ends what was played before. */

const player = new Audio();
let ended = () => {};
let owner = null;

const end = () => {
  owner = null;
  ended();
  ended = () => {};
};

/** Stop what somebody plays; what another one plays goes on. */
export const stop = (whose) => {
  if (owner !== whose) return;
  player.pause();
  end();
};

/**
 * Play a clip, or stop it where it plays already.
 * @param {string} address of the clip
 * @param {object} whose who plays it, and may stop it
 * @param {() => void} whenEnded called at its end, however that comes
 * @returns {boolean} whether it plays now
 */
export const play = (address, whose, whenEnded = () => {}) => {
  const playing = player.dataset.clip === address && !player.paused;
  stop(owner);
  if (playing) return false;
  player.src = player.dataset.clip = address;
  owner = whose;
  ended = () => whenEnded();
  const mine = ended;
  // A clip that another one has taken the place of fails too.
  player.play().catch(() => ended === mine && end());
  return true;
};

player.addEventListener("ended", end);
