// Runs a notebook of the maker's workbook when it is shown, and keeps its steps out of sight until they are asked for.
// The steps of its lessons stay in sight: they can be changed and run, and what was tried in them is not kept.
// In every view it tells screen readers what a slider's handle sets and what a picture shows.
// Written by hand and served as it stands; it runs something only in the view of a single document, and only a notebook
//   - that the command `maker-kit open` put into the folder it serves (its names stand in the page's settings),
//   - whose own metadata say maker_kit.run_on_open, and
//   - whose every step is trusted: signed by this user's Jupyter, as the workbook's own or as what she ran and saved herself.
(() => {
  const NAME = 'maker-kit-shown';
  const QUIET = 'maker-kit-quiet', WAITING = 'maker-kit-waiting', OPENING = 'maker-kit-opening', LESSON = 'maker-kit-lesson';
  const AROUND = ['jp-top-panel', 'jp-menu-panel', 'jp-bottom-panel', 'jp-left-stack', 'jp-right-stack'];
  const STYLE = `
    body.${QUIET} .jp-CodeCell:not(.${LESSON}) > .jp-Cell-inputWrapper, body.${QUIET} .jp-Collapser, body.${QUIET} .jp-InputPrompt, body.${QUIET} .jp-OutputPrompt, body.${QUIET} .jp-OutputArea-promptOverlay,
    body.${QUIET} .jp-cell-toolbar, body.${QUIET} .jp-Notebook-footer, body.${QUIET} .jp-collapseHeadingButton, body.${QUIET} .jp-CodeCell.jp-mod-noOutputs,
    body.${QUIET} .jp-NotebookPanel-toolbar, body.${QUIET} #main .jp-SideBar, ${AROUND.map(id => `body.${QUIET} #${id}`).join(', ')},
    body.${QUIET} .${WAITING} .jp-OutputArea { display: none; }
    body.${QUIET}, body.${QUIET} #main, body.${QUIET} #jp-main-dock-panel { background: var(--jp-layout-color1); }
    body.${QUIET} #main .jp-Cell, body.${QUIET} #main .jp-Cell .jp-MarkdownOutput { border-color: transparent; outline: none; box-shadow: none; }
    body.${OPENING}::before { content: 'Opening …'; position: fixed; top: 1.5em; left: 1.5em; z-index: 1; font-size: var(--jp-ui-font-size1, 13px); color: var(--jp-ui-font-color2, #555); }
    .${LESSON} .maker-kit-try { display: none; }
    body.${QUIET} .${LESSON} .maker-kit-try { display: block; align-self: flex-end; margin-left: .6em; padding: .15em .7em; font: inherit; cursor: pointer;
      color: inherit; background: none; border: 1px solid currentColor; }
    body.${QUIET} .jp-Notebook .jp-MarkdownOutput h1 { margin: .1em 0 .2em; font-size: 1.7em; }
    body.${QUIET} .widget-dropdown > select { text-overflow: ellipsis; }
    body.${QUIET} .widget-tab > .lm-TabBar { min-width: 0; overflow: visible; }
    body.${QUIET} .widget-tab > .lm-TabBar > .lm-TabBar-content { flex-wrap: wrap; }
    body.${QUIET} .widget-tab > .lm-TabBar .lm-TabBar-tab { flex: 0 1 auto; min-width: min-content; }
    body.${QUIET} .jupyter-widgets [style*="overflow-x"], body.${QUIET} .widget-html-content { max-width: 100%; }
    @media (max-width: 1150px) {
      /* controls take the whole width, and stand beside each other as far as they can */
      body.${QUIET} .maker-kit-left { flex: 1 1 100% !important; flex-flow: row wrap; column-gap: 1em; align-items: flex-start; }
      body.${QUIET} .maker-kit-left > .widget-inline-hbox, body.${QUIET} .maker-kit-left > .widget-vbox { flex: 0 1 29em; }
      body.${QUIET} .maker-kit-left > .widget-html:has(+ .widget-textarea) { flex: 1 1 100%; }
      body.${QUIET} .maker-kit-left > .widget-vbox:has(table) { flex: 1 1 100%; }
    }
    @media (max-width: 700px) {
      /* a picture stays large enough to be read, and what is wider than the page is moved within its own box */
      body.${QUIET} .maker-kit-pictures > .widget-vbox, body.${QUIET} .widget-vbox:has(> img.widget-image) { overflow-x: auto !important; }
      body.${QUIET} img.widget-image { max-width: max(100%, 640px) !important; min-width: 640px; flex: none; }
      body.${QUIET} .widget-html-content { overflow-x: auto; }
      body.${QUIET} .widget-html-content :is(th, td) { padding: .2em .35em !important; }
      body.${QUIET} .maker-kit-left :is(.widget-dropdown, .widget-text, .widget-textarea) { max-width: calc(100% - 4px) !important; }
      body.${QUIET} .maker-kit-left .widget-slider { min-width: 3em !important; width: 5em !important; }
      body.${QUIET} .maker-kit-left .widget-hbox { max-width: 100%; }
      body.${QUIET} .maker-kit-left .widget-checkbox { height: auto; }
      body.${QUIET} .maker-kit-left .widget-checkbox label { white-space: normal; line-height: 1.3; }
      body.${QUIET} .jp-OutputArea-child, body.${QUIET} .jp-OutputArea-output { min-width: 0; }
      body.${QUIET} .jp-OutputPrompt { width: 0; min-width: 0; flex: 0; }
    }
    @media (max-width: 1150px) {
      /* pictures stay in sight over the controls that move them */
      body.${QUIET} :is(.jp-Cell, .jp-Cell *, .maker-kit-body):has(.maker-kit-pictures) { overflow: visible !important; min-width: 0 !important; max-width: 100%; }
      body.${QUIET} .maker-kit-pictures { order: -1; flex: 1 1 100% !important; min-width: 0 !important; max-width: 100%; max-height: 58vh; overflow: auto !important;
        position: sticky; top: 0; z-index: 2; background: var(--jp-layout-color1); }
      body.${QUIET} .maker-kit-left { min-width: 0 !important; max-width: 100%; }
      body.${QUIET} .maker-kit-left :is(.noUi-handle, input, select, button) { scroll-margin: 65vh 0 2em; }
    }
    @media (max-width: 700px) and (max-height: 420px) {
      /* so low a page, a laptop's at 200 %, leaves the controls half of itself */
      body.${QUIET} .maker-kit-pictures > .widget-vbox, body.${QUIET} .maker-kit-pictures .widget-vbox:has(> img.widget-image) { overflow-x: visible !important; }
      body.${QUIET} .maker-kit-pictures img.widget-image { width: auto !important; min-width: 0; max-width: 62vw !important; max-height: 56vh; object-fit: contain; object-position: left top; }
    }
    .maker-kit-bar { min-height: 28px; display: flex; gap: 1.2em; align-items: center; padding: 0 1.2em; background: var(--jp-layout-color1); color: var(--jp-ui-font-color2);
      font-size: var(--jp-ui-font-size1); }
    .maker-kit-bar .maker-kit-state { flex: 1; }
    .maker-kit-bar button, .maker-kit-bar a { font: inherit; color: inherit; background: none; border: 0; padding: .2em .3em; cursor: pointer; text-decoration: underline; }
    .maker-kit-bar button:focus-visible, .maker-kit-bar a:focus-visible { outline: 2px solid currentColor; }`;
  let scope;

  async function lumino() {
    const versions = scope['@lumino/widgets'];
    return (await Object.values(versions)[0].get())();
  }

  function isTrusted(model) {
    for (let k = 0; k < model.cells.length; k++) {
      const cell = model.cells.get(k);
      if (cell.type === 'code' && !cell.trusted) return false;
    }
    return true;
  }

  // what a slider's handle sets, and what a picture shows: the controls of a page have no words for either
  function tell() {
    for (const handle of document.querySelectorAll('.noUi-handle')) {
      const row = handle.closest('.widget-slider')?.parentElement;
      const said = [...(row?.querySelectorAll('.widget-label') || [])].map(words => words.textContent.trim()).filter(Boolean).join(', ');
      if (said && handle.getAttribute('aria-label') !== said) handle.setAttribute('aria-label', said);
    }
    // a title that is longer than its closed box ends in dots, and is told whole where the pointer rests
    for (const choice of document.querySelectorAll('.widget-dropdown > select')) {
      const chosen = choice.selectedOptions[0]?.textContent ?? '';
      if (choice.title !== chosen) choice.title = chosen;
    }
    for (const image of document.querySelectorAll('img.widget-image')) {
      const told = image.parentElement?.querySelector('[role=img][aria-label]');
      if (!told) continue;
      if (image.alt !== told.getAttribute('aria-label')) image.alt = told.getAttribute('aria-label');
      if (!told.hasAttribute('aria-hidden')) told.setAttribute('aria-hidden', 'true'); // told once
    }
  }

  function tellAlways() {
    let due = false;
    const soon = () => {
      if (due) return;
      due = true;
      requestAnimationFrame(() => { due = false; tell(); });
    };
    new MutationObserver(soon).observe(document.body, { childList: true, subtree: true, characterData: true });
    document.body.addEventListener('change', soon); // what is chosen is no change of the page's nodes
    soon();
  }

  function activate(app) {
    tellAlways();
    const page = JSON.parse(document.getElementById('jupyter-config-data').textContent);
    const own = new Set(page.makerKitNotebooks || []);
    if (page.mode !== 'single-document' || !own.size) return;
    document.head.appendChild(Object.assign(document.createElement('style'), { textContent: STYLE }));
    const quiet = new Map(); // a notebook's panel -> whether its steps are out of sight
    const isQuiet = () => document.body.classList.contains(QUIET);
    if (own.has(page.treePath)) document.body.classList.add(QUIET, OPENING); // nothing flashes by while it is read

    // a key or a double click meant for a step that is out of sight would change it
    const keys = app.commands.processKeydownEvent.bind(app.commands);
    // in a lesson's step only the keys that run it are passed on, and Tab leads out of it
    const inLesson = event => !!event.target.closest?.(`.${LESSON} .cm-editor`);
    const runs = event => event.key === 'Enter' && (event.shiftKey || event.ctrlKey) && !event.altKey;
    app.commands.processKeydownEvent = event => { if (!isQuiet() || (inLesson(event) && runs(event))) keys(event); };
    window.addEventListener('keydown', event => {
      if (isQuiet() && event.key === 'Tab' && inLesson(event)) event.stopImmediatePropagation();
    }, true);
    for (const kind of ['dblclick', 'contextmenu']) {
      window.addEventListener(kind, event => { if (isQuiet() && event.target.closest?.('.jp-Notebook')) event.stopPropagation(); }, true);
    }

    // menus, side bars and the bar at the bottom give their room to the notebook
    const away = new Set();
    function clear(widget) {
      for (const child of widget.children()) {
        if (AROUND.includes(child.id) || child.hasClass('jp-SideBar')) {
          if (!child.isHidden) { child.hide(); away.add(child); }
        } else if (child.id !== 'jp-main-dock-panel') clear(child);
      }
    }

    function setBody(on) {
      document.body.classList.toggle(QUIET, on);
      document.body.classList.remove(OPENING);
      if (on) clear(app.shell);
      else { away.forEach(widget => widget.show()); away.clear(); }
    }

    function setQuiet(panel, on) {
      quiet.set(panel, on);
      panel.toolbar.setHidden(on);
      if (app.shell.currentWidget === panel) setBody(on);
    }

    function top(panel) {
      panel.content.deselectAll();
      panel.content.activeCellIndex = 0;
      for (const node of [panel.content.node, ...panel.content.node.querySelectorAll('.jp-WindowedPanel-outer')]) node.scrollTop = 0;
    }

    async function run(panel, state) {
      let moved = false;
      const hands = ['wheel', 'keydown', 'pointerdown', 'touchstart'];
      const noted = () => { moved = true; };
      for (const hand of hands) panel.node.addEventListener(hand, noted, { capture: true, passive: true });
      state.textContent = 'Working …';
      await panel.revealed;
      await panel.sessionContext.ready;
      const running = app.commands.execute('notebook:run-all-cells');
      panel.removeClass(WAITING);
      top(panel);
      await Promise.resolve(running).catch(() => undefined); // a step that failed shows its own sentence
      for (const hand of hands) panel.node.removeEventListener(hand, noted, { capture: true });
      if (!moved) top(panel);
      state.textContent = '';
    }

    async function bar(panel) {
      const { Widget } = await lumino();
      const row = new Widget();
      row.addClass('maker-kit-bar');
      const state = row.node.appendChild(document.createElement('span'));
      state.className = 'maker-kit-state';
      state.setAttribute('role', 'status');
      const steps = row.node.appendChild(document.createElement('button'));
      steps.className = 'maker-kit-steps';
      const lab = row.node.appendChild(document.createElement('a'));
      lab.textContent = 'Change things in JupyterLab';
      lab.href = page.baseUrl + 'lab/tree/' + encodeURIComponent(panel.context.path);
      panel.contentHeader.addWidget(row);
      return { state, steps };
    }

    function lessons(panel) {
      panel.content.widgets.forEach((cell, at) => {
        if (cell.model.type !== 'code' || !(cell.model.getMetadata('tags') || []).includes('lesson')) return;
        cell.addClass(LESSON);
        const go = cell.inputArea.node.appendChild(document.createElement('button'));
        go.className = 'maker-kit-try';
        go.textContent = 'Run it';
        go.title = 'Change the lines as you like and run them; what you try here is not kept.';
        go.onclick = () => {
          panel.content.deselectAll();
          panel.content.activeCellIndex = at;
          app.commands.execute('notebook:run-cell');
        };
      });
    }

    async function show(panel) {
      await panel.context.ready;
      const model = panel.content.model;
      const asks = own.has(panel.context.path) && (model.getMetadata('maker_kit') || {}).run_on_open === true;
      if (!asks) { setQuiet(panel, false); return; }
      lessons(panel);
      const { state, steps } = await bar(panel);
      const trusted = isTrusted(model);
      const name = () => { steps.textContent = quiet.get(panel) ? 'Show the steps' : 'Hide the steps'; };
      // what a run writes under the steps is no change of the maker's: nothing is asked when she leaves, and nothing is saved
      model.stateChanged.connect((_, change) => { if (change.name === 'dirty' && change.newValue && quiet.get(panel)) model.dirty = false; });
      steps.onclick = async () => {
        if (!quiet.get(panel) && model.dirty) await panel.context.save();
        setQuiet(panel, !quiet.get(panel));
        name();
      };
      if (!trusted) {
        setQuiet(panel, false);
        state.textContent = 'This notebook was changed outside of the workbook, so nothing in it ran by itself. Look through its steps; if they are yours, ';
        const go = state.appendChild(document.createElement('button'));
        go.textContent = 'run them';
        go.onclick = () => run(panel, state);
        name();
        return;
      }
      panel.addClass(WAITING);
      setQuiet(panel, true);
      name();
      await run(panel, state);
    }

    const seen = new WeakSet();
    function look() {
      const panel = app.shell.currentWidget;
      if (!panel) return;
      const isNotebook = panel.context && panel.contentHeader && panel.content?.model !== undefined && 'activeCellIndex' in panel.content;
      if (!isNotebook || quiet.has(panel)) setBody(isNotebook && quiet.get(panel));
      if (!isNotebook || seen.has(panel)) return;
      seen.add(panel);
      show(panel);
    }
    app.shell.currentChanged.connect(look);
    // the page would open its notebook only after it has saved what it looked like before, and waited a second for that
    if (own.has(page.treePath)) app.restored.then(() => app.commands.execute('docmanager:open', { path: page.treePath }));
    app.restored.then(look);
  }

  const plugin = { id: NAME + ':plugin', description: 'Runs a notebook of the workbook when it is shown.', autoStart: true, activate };
  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB[NAME] = {
    init: given => { scope = given; },
    get: async () => () => ({ __esModule: true, default: plugin }),
  };
})();
