/** The page's own script, bundled from src/preview/client/main.ts by previewClient.mjs. */
declare module 'virtual:preview-client' {
  export const clientScript: string;
  /** Its hash as a Content-Security-Policy names it. */
  export const clientHash: string;
}
