using System.Net;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Components.Server;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Stencilwright.App.Web.Safety;
using Stencilwright.Workbench.Shop;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web;

/// <summary>The local web application.</summary>
internal static class WorkshopServer
{
    // A message from the browser is a click, a key, a piece of an upload, or a text that was entered: shell.js sends no more
    // than 300 000 characters of one, of at most six bytes each.
    private const int LargestMessageBytes = 2 << 20;

    /// <summary>Builds the application; whoever called starts it.</summary>
    /// <param name="choice">Where it listens and what it keeps.</param>
    /// <param name="store">The jobs.</param>
    public static WebApplication Build(ServerChoice choice, JobStore store)
    {
        var builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions
        {
            ApplicationName = typeof(WorkshopServer).Assembly.GetName().Name,
            ContentRootPath = AppContext.BaseDirectory,
            WebRootPath = "wwwroot",
            EnvironmentName = Environments.Production,
        });
        builder.WebHost.UseKestrel(kestrel =>
        {
            kestrel.Listen(choice.Address, choice.Port);
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = Uploads.MostBytes;
        });
        // Run from a build folder, pages' files lie beside their sources.
        builder.WebHost.UseStaticWebAssets();
        builder.Services.AddRouting();
        builder.Logging.AddConsole(console => console.LogToStandardErrorThreshold = LogLevel.Trace);
        builder.Logging.SetMinimumLevel(LogLevel.Warning);
        // What keeps the service from starting is said by whoever started it, in one line.
        builder.Logging.AddFilter("Microsoft.Extensions.Hosting", LogLevel.None);
        // Keys of cookies lie in the user's own folder, as the password's hash does.
        builder.Logging.AddFilter("Microsoft.AspNetCore.DataProtection", LogLevel.Error);
        var services = builder.Services;
        services.AddSingleton(choice);
        services.AddSingleton(store);
        var shop = new ShopCatalogue(choice.Folder.Shop);
        services.AddSingleton(shop);
        services.AddSingleton(_ => new OpenJobs(store, choice.Version, shop));
        services.AddSingleton(Words.English);
        services.AddSingleton<PasswordGate>();
        services.AddSingleton<Uploads>();
        services.AddSingleton<Samples>();
        services.AddScoped<Preferences>();
        // Tokens of a page outlive no restart; keys on disk would be one more secret to keep.
        services.AddDataProtection().UseEphemeralDataProtectionProvider();
        services.AddAntiforgery(forgery => forgery.Cookie.SecurePolicy = CookieSecurePolicy.SameAsRequest);
        services.AddRazorComponents().AddInteractiveServerComponents(circuits =>
        {
            circuits.DisconnectedCircuitMaxRetained = 20;
            circuits.DetailedErrors = false;
        }).AddHubOptions(hub => hub.MaximumReceiveMessageSize = LargestMessageBytes);
        services.Configure<CircuitOptions>(o => o.JSInteropDefaultCallTimeout = TimeSpan.FromSeconds(30));

        var app = builder.Build();
        app.UseMiddleware<HeaderGuard>();
        app.UseMiddleware<HostGuard>();
        app.UseMiddleware<PasswordGuard>();
        // Whoever mistypes an address gets a page that says so; a program that asks for a file gets the bare answer.
        app.UseWhen(c => HttpMethods.IsGet(c.Request.Method) && c.Request.Headers.Accept.ToString().Contains("text/html", StringComparison.Ordinal),
            pages => pages.UseStatusCodePagesWithReExecute("/not-found"));
        app.UseRouting();
        app.UseAntiforgery();
        app.MapStaticAssets();
        PasswordPages.Map(app);
        JobEndpoints.Map(app);
        app.MapRazorComponents<Components.App>().AddInteractiveServerRenderMode(mode =>
        {
            mode.ContentSecurityFrameAncestorsPolicy = "'none'";
            // To a browser on this machine or this network packing a drawing takes longer than sending it.
            mode.DisableWebSocketCompression = true;
        });
        return app;
    }

    /// <summary>The address that a browser on this machine opens, once the application runs.</summary>
    public static Uri AddressOf(WebApplication app)
    {
        var bound = app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First();
        var uri = new Uri(bound.Replace("[::]", "localhost", StringComparison.Ordinal).Replace("0.0.0.0", "localhost", StringComparison.Ordinal));
        return IPAddress.TryParse(uri.Host.Trim('[', ']'), out var address) && IPAddress.IsLoopback(address)
            ? new UriBuilder(uri) { Host = "localhost" }.Uri : uri;
    }
}
