/** Why the pictures of two clips give no turn between them. */
export type WhyNotAlike = keyof typeof TEXTS;

const BY_HAND = "If the camera did stand there, press two or three of the ice points on this clip too.";

const TEXTS = {
  size: "The pictures of the two clips are of different sizes, so they were not filmed with the same camera and zoom.",
  bare: `Too little in these pictures stands still and can be told apart (bare ice, blur, dark), so they can't be compared. ${BY_HAND}`,
  moves: `The camera does not stand still within one of the two clips (knocked, panned, or shaken by its picture stabilisation): run motion on both. One turn does not hold for such a clip.`,
  elsewhere: `The backgrounds of the two clips do not go together: filmed from another place or with another zoom, turned too far, or much of the picture has changed. ${BY_HAND}`,
  zoom: "The picture of one clip is larger than the other's: the zoom was changed, or the camera was carried nearer. They do not share a scale.",
  place:
    "What is near and what is far moved differently between the two clips: the camera was carried to another place, not only turned. They do not share a scale.",
} as const;

export function notAlikeText(why: WhyNotAlike): string {
  return TEXTS[why];
}
