import { Button } from "@mantine/core";
import { Component, type ReactNode } from "react";

interface Props {
  /** Changing it (another place, another trial) starts afresh. */
  readonly about: string;
  readonly children: ReactNode;
}

interface State {
  readonly error: Error | null;
  readonly about: string;
}

/** How browsers put it when a part of the window does not come. */
const NOT_FETCHED = /dynamically imported module|module script failed|preload CSS/i;

/** A bug in one place does not take the window down: what was done is kept and saved, and the other places work. */
export class ErrorBoundary extends Component<Props, State> {
  override state: State = { error: null, about: this.props.about };

  static getDerivedStateFromError(error: unknown): Partial<State> {
    return { error: error instanceof Error ? error : new Error(String(error)) };
  }

  static getDerivedStateFromProps(props: Props, state: State): Partial<State> | null {
    return props.about === state.about ? null : { error: null, about: props.about };
  }

  override render(): ReactNode {
    const { error } = this.state;
    if (!error) return this.props.children;
    if (NOT_FETCHED.test(error.message)) {
      return (
        <div className="whole-page" role="alert">
          <h1>This place could not be opened</h1>
          <p>
            The program behind this window does not answer. If the bar says “not saved”, what you did since is
            kept in this browser: start Blademark again, open the study in this same browser, and it is
            offered there.
          </p>
          <Button onClick={() => this.setState({ error: null })}>Try again</Button>
        </div>
      );
    }
    return (
      <div className="whole-page" role="alert">
        <h1>This part of the window has failed</h1>
        <p>
          That is a mistake in Blademark, not in your study. What you did is kept: on the disk, or in this
          browser while the bar says “not saved”. Try again, undo the last step (Ctrl+Z), or go to another
          place.
        </p>
        <p className="quiet">{error.message}</p>
        <Button onClick={() => this.setState({ error: null })}>Try again</Button>
      </div>
    );
  }
}
