// Refusals of what is said of the cellar's vessels.

/** By code: the kind, what it means and what the caller can do. */
export const CELLAR_REFUSALS = {
  VESSEL_HOLDS_BEER: [
    'INVALID_INPUT',
    'A vessel is not cleaned while beer is in it.',
    'Name the vessel that was cleaned; or say first what emptied it (filled with `emptied`, transferred or dumped).',
  ],
} as const
