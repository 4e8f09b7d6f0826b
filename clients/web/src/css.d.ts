/** The bundler hands a style sheet over as text. */
declare module "*.css" {
  const text: string;
  export default text;
}
