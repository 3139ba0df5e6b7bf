import { createTheme, type MantineColorsTuple } from "@mantine/core";

const ice: MantineColorsTuple = [
  "#e6f4f9",
  "#d2e8f1",
  "#a6d2e3",
  "#76bad4",
  "#4fa6c7",
  "#2f93b8",
  "#0b7ea3",
  "#0b6e8f",
  "#0a5b77",
  "#08465c",
];

/** White on its darker shades is at least 4.5 to 1; the library's own red is not. */
const red: MantineColorsTuple = [
  "#fdeaec",
  "#f9d3d7",
  "#f4aab1",
  "#f0868f",
  "#df5263",
  "#cf3246",
  "#b52033",
  "#a61b2b",
  "#871522",
  "#690f19",
];

/** As light as the library's own greys, of the dark window's blue. */
const dark: MantineColorsTuple = [
  "#c4ced5",
  "#b3bfc8",
  "#7f8c96",
  "#6b7984",
  "#3f4e59",
  "#344450",
  "#263641",
  "#1c2b35",
  "#15232d",
  "#0e1920",
];

/** Controls come from Mantine; this only gives them the window's colour, type size and corners. */
export const theme = createTheme({
  primaryColor: "ice",
  primaryShade: { light: 7, dark: 6 },
  colors: { ice, red, dark },
  fontFamily: "Inter, system-ui, -apple-system, 'Segoe UI', Roboto, 'DejaVu Sans', sans-serif",
  fontSizes: { xs: "0.8125rem", sm: "0.875rem", md: "0.9375rem", lg: "1.0625rem", xl: "1.25rem" },
  defaultRadius: "md",
  cursorType: "pointer",
  respectReducedMotion: true,
  components: {
    Tooltip: {
      defaultProps: {
        multiline: true,
        maw: 320,
        withArrow: true,
        openDelay: 250,
        events: { hover: true, focus: true, touch: true },
      },
    },
    Button: { defaultProps: { size: "sm" } },
    Modal: { defaultProps: { centered: true, closeButtonProps: { "aria-label": "Close" } } },
  },
});
