/** Strides of one walk. Our choice: the third and all after it are alike. */
export const STRIDES = 20;
