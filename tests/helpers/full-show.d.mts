/** A show as large and as wordy as people make them. */
export const fullShow: object;
